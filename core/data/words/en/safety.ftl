### Flags, screening and limits.

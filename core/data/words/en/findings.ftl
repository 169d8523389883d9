### What the log adds up to.

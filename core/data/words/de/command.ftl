### Heads and labels of the command line.

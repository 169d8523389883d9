### What is refused, with field and remedy.

### The session at hand.

"""Pages of the bench: what is broken, flagging a fault, and work on it."""

"""The interface over gear: each view parses a command, calls a service behind the door, and shows what came of it."""

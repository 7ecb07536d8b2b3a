"""Verbs that write. Each takes the open ``Change`` first and ids, never instances loaded before the lock."""

"""Pages of people: who may what, the own account, signing in."""

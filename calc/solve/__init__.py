"""Exact solvers; the only place where OR-tools is imported, inside the functions that need it."""

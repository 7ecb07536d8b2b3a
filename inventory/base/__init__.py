"""The foundation of every room: people and roles, the one door for writes, history, problems, the REST base.

No noun of the trade belongs here; nothing here imports the rest of the house.
"""

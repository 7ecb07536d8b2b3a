"""What is promised to whom: a verb takes a snapshot, decides without a database, and refuses or applies."""

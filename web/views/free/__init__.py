"""What's free, and how its question is read."""

"""Questions that read: a fixed number of statements each, whatever the number of rows."""

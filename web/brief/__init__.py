"""What is asked of a kit, as a form: a file a theme."""

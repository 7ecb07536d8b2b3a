"""Pages of documentation: checks, problems, components."""

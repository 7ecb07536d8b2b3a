"""Pages of single units."""

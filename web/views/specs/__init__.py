"""Pages of data sheets."""

"""Pages of shows: the list, one show, its times and states."""

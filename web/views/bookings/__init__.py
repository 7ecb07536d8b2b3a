"""Pages of bookings: ordering, and the verbs of one booking."""

"""What the company promises: venues, events, bookings, claims and what is free."""

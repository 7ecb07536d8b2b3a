"""What the company has: specs, units, kits, their wiring, faults and the background checks of kits."""

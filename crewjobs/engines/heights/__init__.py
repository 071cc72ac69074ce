"""A new floor's height against what it meets: the next floor, doors, flanges, stairs."""

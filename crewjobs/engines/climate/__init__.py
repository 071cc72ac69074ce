"""Air, wood and slabs in figures: equilibrium moisture, dew point, slab tests, movement, drying. Pure functions of numbers."""

"""A house's furniture: what stands where, its stages, the rooms drawn."""

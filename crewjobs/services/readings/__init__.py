"""Readings as people type them, what they say of floors, what is to be read."""

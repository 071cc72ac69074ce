"""The demo shop with its past."""

"""Use cases, one transaction each, and the frozen rows they give to screens and commands."""

"""The plan of the weeks: what it is made from, made, kept true to what is recorded, read."""

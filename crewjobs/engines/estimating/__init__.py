"""Tasks and their minutes: what a job needs, and how long it takes."""

"""Questions about a week plan answered: why it is as it is, which promises clash, what if, and when."""

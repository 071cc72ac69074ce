"""People's time: who is away, other hours, small visits."""

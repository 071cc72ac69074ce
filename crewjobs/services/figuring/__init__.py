"""One question answered by the function that planning and holds use."""

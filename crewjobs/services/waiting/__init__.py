"""What waits for what, as rows of the waiting list; whom to call about it."""

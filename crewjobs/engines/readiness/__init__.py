"""When a task may start, and why not: one answer for tick, waiting list and planner."""

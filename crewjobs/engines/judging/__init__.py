"""The judge of week plans: every rule checked again, minute by minute, without the planner. The tests run it."""

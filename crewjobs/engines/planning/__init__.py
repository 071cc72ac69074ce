"""The week plan: calendars, blocks, placing them, and a judge that shares nothing with the planner."""

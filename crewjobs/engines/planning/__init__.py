"""The week plan: calendars, blocks, placing them at once, and looking for a better plan while somebody waits."""

"""Pure computation: problem in, solution out; no storage, no screens, no clock."""

"""Recording what happened from any screen: one key, a list of what can be recorded here, and a form for each."""

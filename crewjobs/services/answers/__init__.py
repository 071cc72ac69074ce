"""Questions about the plan, answered without keeping anything: why, what if, when, what else is ready."""

"""Values of the trade and the rules that need nothing else."""

"""Calendar files of crews and jobs, and what was written of them before."""

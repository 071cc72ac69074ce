"""Forms that are filled in page by page: a job, the shop."""

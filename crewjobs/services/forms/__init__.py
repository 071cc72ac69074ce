"""Forms over the tables of a job file and a shop file: the same checks, the same sentences, beside the field."""

"""Pages built for the paper to print: day plans, week sheet, notices, records, lists."""

"""Tables out to a spreadsheet, and a list of jobs in."""

"""A drawing is one list of shapes, painted as characters here and as a page by paper: screens, text pages and commands show the same."""

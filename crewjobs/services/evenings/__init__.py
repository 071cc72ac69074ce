"""What a crew did on a day: its sheet typed back, how far it got, odd hours."""

"""What leaves the program on paper: typed values first, all formatting in here."""

"""The program in the terminal: six screens over one office. Screens draw rows and call services; they hold no rule."""

"""What published rules say in numbers where work can hurt someone; who decides is never the program."""

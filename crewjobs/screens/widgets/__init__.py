"""What the screens are made of, one widget a file."""

"""What published rules say in numbers where work can hurt someone. Never that something is safe."""

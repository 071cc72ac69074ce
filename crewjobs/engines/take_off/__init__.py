"""What a job takes in material: from its rooms and the layouts of their planks to one list of what to buy."""

"""What was asked of houses and of others, and what customers were told."""

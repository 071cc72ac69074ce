"""How floors are laid and what they take: layouts, cut lists and take-offs, in words."""

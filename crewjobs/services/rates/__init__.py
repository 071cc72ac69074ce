"""Crews' paces learned from hours: told, pinned, held against estimates."""

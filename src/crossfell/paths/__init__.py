"""paths."""

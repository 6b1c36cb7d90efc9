"""search."""

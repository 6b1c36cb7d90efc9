"""order."""

"""studio."""

"""loom."""

"""statics."""

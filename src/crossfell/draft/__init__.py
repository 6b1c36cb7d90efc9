"""draft."""

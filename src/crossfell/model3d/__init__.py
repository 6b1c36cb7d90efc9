"""model3d."""

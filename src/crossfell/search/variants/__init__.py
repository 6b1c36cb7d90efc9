"""What else a draft could be: other colours, heights, mirrored, denser; side by side."""

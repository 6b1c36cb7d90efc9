"""What does she print, hand over and show? Piece to PDF."""

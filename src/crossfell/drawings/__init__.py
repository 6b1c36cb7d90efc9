"""What does it look like? Piece to scene, scene to SVG and PNG."""

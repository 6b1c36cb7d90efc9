"""Figures that can be laid, hold and repeat: all there are of a size, and the best of them."""

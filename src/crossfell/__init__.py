"""Crossfell: from an idea to a hung piece, for hangings of many narrow crossing warps."""

__version__ = "0.1.0"

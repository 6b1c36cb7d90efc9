"""Which pictures are the five sketches made of? Draws them anew in pictures/.

    python docs/sketches/pictures.py

A line, a letter, a gathering disc, open gaps, waves that are stood upright.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image

SIZE = 480, 400  # rows, columns
CHALK, SLATE, RUST = (217, 210, 192), (63, 79, 92), (168, 84, 50)
WALL = (244, 241, 234)


def blank(colour):
    """A picture of one colour, and where each pixel lies: across and down, 0 to 1."""
    down, across = (np.mgrid[: SIZE[0], : SIZE[1]] + 0.5) / np.array(SIZE).reshape(2, 1, 1)
    return np.full((*SIZE, 3), colour, dtype=np.uint8), across, down


def line():
    """A river seen from a hill: one line that wanders down a quiet ground."""
    picture, across, down = blank(CHALK)
    course = 0.5 + 0.24 * np.sin(2.2 + 5.2 * down) * (0.35 + 0.65 * down)
    picture[across > course] = SLATE
    picture[np.abs(across - course) < 0.085 + 0.05 * down] = RUST
    return picture


def letter():
    """A Y, as large as the piece: two arms as wide together as the stem, so nothing is left over."""
    picture, across, down = blank(CHALK)
    apart = 0.31 * np.clip((0.56 - down) / 0.5, 0, 1)
    near = np.abs(np.abs(across - 0.5) - apart - 0.085 * (apart > 0))
    picture[np.where(apart > 0, near < 0.085, np.abs(across - 0.5) < 0.17)] = RUST
    return picture


def disc():
    """A low sun: rust gathers to a disc and is let go again, between two dark banks."""
    picture, across, down = blank(CHALK)
    picture[np.abs(across - 0.5) > 0.36] = SLATE
    picture[np.hypot((across - 0.5) / 0.8, (down - 0.46) / 0.95) < 0.29] = RUST
    return picture


def gaps():
    """A gate: the wall shows through an opening that is narrow below and wide above."""
    picture, across, down = blank(SLATE)
    half = 0.06 + 0.14 * np.clip((0.85 - down) / 0.7, 0, 1) ** 1.4
    near = np.abs(across - 0.5)
    picture[near < half + 0.1] = RUST
    picture[near < half] = WALL
    return picture


def waves():
    """Surf: three long waves, which only stood upright can be woven."""
    picture, across, down = blank(SLATE)
    for k in range(3):
        crest = 0.2 + 0.3 * k + 0.07 * np.sin(2 * np.pi * (1.2 * across + 0.23 * k))
        picture[np.abs(down - crest) < 0.065] = CHALK
    return picture


def main():
    """Write every picture."""
    for draw in (line, letter, disc, gaps, waves):
        Image.fromarray(draw()).convert("P", palette=Image.Palette.ADAPTIVE, colors=16).save(
            Path(__file__).parent / "pictures" / f"{draw.__name__}.png", optimize=True
        )


if __name__ == "__main__":
    main()

"""How does a unit that hangs slack bow out, as long as it is?

The hung shape knows by how much every unit is too long for the chord between its bands. What it
does with that length is decided by its yarn's set and stiffness (see statics/bow.py). Here it bows
out of the plane of the piece in a parabola, to the side on which it lies already: forwards over
others, backwards under them, one after the other where it does both. Only the length is right.
Checked: tests/model3d/test_sag.py.
"""

from __future__ import annotations

import numpy as np

from crossfell.paths.model import Floats

HALVINGS = 40
CLEAR_MM = 0.05  # nearer to the plane than this a unit lies on neither side of it


def sagged(z_mm: Floats, plane_mm: Floats, slack_mm: Floats) -> Floats:
    """Heights [ribbons, samples] of centre lines that are longer by `slack_mm` [ribbons].

    `plane_mm` [ribbons, samples, 2] is where their samples lie in the plane of the piece.
    """
    out = z_mm.copy()
    rows = np.flatnonzero(slack_mm > 0)
    if not len(rows):
        return out
    z, steps = z_mm[rows], np.linalg.norm(np.diff(plane_mm[rows], axis=1), axis=2)
    wanted = _length(steps, z) + slack_mm[rows]
    shape = _sides(z)
    low, high = np.zeros(len(rows)), wanted.copy()  # no bow is as high as its thread is long
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        short = _length(steps, z + middle[:, None] * shape) < wanted
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    out[rows] = z + high[:, None] * shape
    return out


def _length(steps: Floats, z: Floats) -> Floats:
    """Lengths [ribbons] of lines that rise to z [ribbons, samples] in steps of the plane."""
    length: Floats = np.hypot(steps, np.diff(z, axis=1)).sum(axis=1)
    return length


def _sides(z: Floats) -> Floats:
    """Bows [ribbons, samples] 1 high: to the front, to the back, or one after the other."""
    at = np.linspace(0, 1, z.shape[1])
    one, two = 4 * at * (1 - at), np.sin(2 * np.pi * at)
    both = (z.max(axis=1) > CLEAR_MM) & (z.min(axis=1) < -CLEAR_MM)
    forward = np.where(z.sum(axis=1) < -CLEAR_MM, -1.0, 1.0)
    first = np.where(z @ two < 0, -1.0, 1.0)
    shape: Floats = np.where(both[:, None], first[:, None] * two, forward[:, None] * one)
    return shape

"""What does a picture show in each cell when it is moved and scaled under the grid?

A picture is averaged once to a few hundred cells of its own; these are averaged again for every
place that she gives it. Both times it is light that is averaged, so nothing is lost but sharpness
far below a cell.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.materials.colour import linear_from_hex
from crossfell.search.sketch.asked import Floats
from crossfell.search.sketch.picture import Cells, PictureRefused, averaged, opened, shares_of
from crossfell.search.sketch.wishes import WALL

FINE = 400  # cells of its own along the longer side of a picture


@dataclass(frozen=True, kw_only=True)
class PictureBox:
    """Where a picture lies, in shares of the grid's width and height, from its upper left."""

    left: float = 0.0
    top: float = 0.0
    width: float = 1.0
    height: float = 1.0


def light_of(raw: bytes, name: str) -> Floats | PictureRefused:
    """Light [rows, columns, 3] of a picture, its longer side at most FINE."""
    picture = opened(raw, name)
    if isinstance(picture, PictureRefused):
        return picture
    less = min(1.0, FINE / max(picture.size))
    columns, rows = (max(1, round(side * less)) for side in picture.size)
    wall = np.array(linear_from_hex(WALL))
    return averaged(picture, rows, columns, 1.0, "stretch", wall).light


def framed(light: Floats, rows: int, places: int, box: PictureBox) -> Cells:
    """Cells of the grid under which the picture lies in a box; beside it nothing matters."""
    high, wide = light.shape[:2]
    across = shares_of(places, -box.left / box.width * wide, wide / box.width, wide)
    down = shares_of(rows, -box.top / box.height * high, high / box.height, high)
    there = np.outer(down.sum(axis=1), across.sum(axis=1))
    sums = np.einsum("rh,hwc,pw->rpc", down, light, across, optimize=True)
    return Cells(light=sums / np.maximum(there, 1e-12)[..., None], matters=np.minimum(there, 1.0))

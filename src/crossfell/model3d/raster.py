"""Which pixels does each triangle cover, without a graphics card?

Triangles are cut into rows of pixels, all at once in arrays. A pixel belongs to a triangle when
its middle does. Source: common practice (scan conversion). Checked: tests/model3d/test_still.py.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.order.model import Ints
from crossfell.paths.model import Floats


@dataclass(frozen=True, slots=True)
class Covered:
    """Pixels under triangles; arrays are [fragments]."""

    triangle: Ints
    column: Ints
    row: Ints


def covered(corners: Floats, width: int, height: int) -> Covered:
    """Pixels of triangles [triangles, 3, 2] (x to the right, y down) in a picture."""
    x, y = corners[:, :, 0], corners[:, :, 1]
    first = np.clip(np.ceil(y.min(axis=1) - 0.5), 0, height).astype(np.int64)
    last = np.clip(np.ceil(y.max(axis=1) - 0.5), 0, height).astype(np.int64)
    triangle = np.repeat(np.arange(len(corners)), last - first)
    row = first[triangle] + _within(last - first)
    middle = row + 0.5
    left, right = np.full(len(row), np.inf), np.full(len(row), -np.inf)
    for i, j in ((0, 1), (1, 2), (2, 0)):
        y0, y1 = y[triangle, i], y[triangle, j]
        meets = (np.minimum(y0, y1) <= middle) & (middle <= np.maximum(y0, y1)) & (y0 != y1)
        share = np.where(meets, (middle - y0) / np.where(y0 == y1, 1.0, y1 - y0), 0.0)
        at = x[triangle, i] + share * (x[triangle, j] - x[triangle, i])
        left = np.where(meets, np.minimum(left, at), left)
        right = np.where(meets, np.maximum(right, at), right)
    start = np.clip(np.ceil(np.where(np.isfinite(left), left, 0) - 0.5), 0, width).astype(np.int64)
    stop = np.clip(np.ceil(np.where(np.isfinite(right), right, 0) - 0.5), 0, width).astype(np.int64)
    wide = np.maximum(stop - start, 0)
    column = np.repeat(start, wide) + _within(wide)
    return Covered(np.repeat(triangle, wide), column, np.repeat(row, wide))


def _within(counts: Ints) -> Ints:
    """0, 1, …, count - 1 for each count, one after the other."""
    ends = np.cumsum(counts)
    whole = int(ends[-1]) if len(ends) else 0
    return np.arange(whole) - np.repeat(ends - counts, counts)


def planes(corners: Floats, values: Floats) -> Floats:
    """[triangles, 3] of values = a·x + b·y + c through three corners [triangles, 3, 2]."""
    x, y = corners[:, :, 0], corners[:, :, 1]
    dx1, dx2 = x[:, 1] - x[:, 0], x[:, 2] - x[:, 0]
    dy1, dy2 = y[:, 1] - y[:, 0], y[:, 2] - y[:, 0]
    area = dx1 * dy2 - dx2 * dy1
    area = np.where(np.abs(area) < 1e-12, np.inf, area)
    v1, v2 = values[:, 1] - values[:, 0], values[:, 2] - values[:, 0]
    a = (v1 * dy2 - v2 * dy1) / area
    b = (dx1 * v2 - dx2 * v1) / area
    return np.column_stack([a, b, values[:, 0] - a * x[:, 0] - b * y[:, 0]])

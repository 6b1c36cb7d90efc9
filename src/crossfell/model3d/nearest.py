"""Which part of the model stands in front at each pixel, and how is it coloured there?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.model3d.camera import Camera
from crossfell.model3d.mesh import unit
from crossfell.model3d.raster import Covered, covered, planes
from crossfell.model3d.surfaces import Light, Surfaces, Triangles
from crossfell.order.model import Ints
from crossfell.paths.model import Floats

AT_ONCE = 400_000  # pixels under triangles, at most, in one go: it bounds the memory
ALIGNED = 8  # the box round the piece begins and ends at multiples of it, where the picture does


@dataclass(frozen=True, kw_only=True)
class Nearest:
    """What stands in front where the piece is seen; arrays are [pixels]."""

    box: tuple[int, int, int, int]  # top, left, low, right of the piece in the picture
    row: Ints  # from the top of the box
    column: Ints
    triangle: Ints
    normal: Floats  # [pixels, 3]
    near: NDArray[np.float32]  # 1 / distance
    colour: Light  # [pixels, 3]
    scale: float  # pixels in a millimetre, about

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of the box."""
        top, left, low, right = self.box
        return low - top, right - left


def nearest(triangles: Triangles, surfaces: Surfaces, camera: Camera) -> Nearest:
    """Find the nearest triangle at every pixel; holes let through what is behind them."""
    flat, away = camera.seen(triangles.corners)
    one, two = flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]
    facing = np.flatnonzero(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0] < -1e-9)
    depth = np.zeros(camera.width * camera.height, dtype=np.float32)
    who = np.full(len(depth), -1, dtype=np.int32)
    for some in _portions(flat, facing):
        spots = covered(flat[some], camera.width, camera.height)
        near = _spread(flat[some], 1 / away[some], spots)
        holed = surfaces.holed[triangles.part[some]][spots.triangle]
        if holed.any():
            few = Covered(spots.triangle[holed], spots.column[holed], spots.row[holed])
            u, v = _place(triangles, flat, away, some, few, near[holed])
            _, solid = surfaces.at(triangles.part[some][few.triangle], u, v)
            near[np.flatnonzero(holed)[~solid]] = 0.0
        pixel = spots.row * camera.width + spots.column
        there = near.astype(np.float32)
        np.maximum.at(depth, pixel, there)
        wins = (there == depth[pixel]) & (there > 0)
        who[pixel[wins]] = some[spots.triangle[wins]]
    return _front(triangles, surfaces, camera, flat, away, depth, who)


def _portions(flat: Floats, facing: Ints) -> Iterator[Ints]:
    """Triangles in turn, as many at once as cover `AT_ONCE` pixels or are alone."""
    size = np.ptp(flat[facing], axis=1)
    area = np.cumsum(0.5 * (size[:, 0] + 1) * (size[:, 1] + 1))
    turn = (area // AT_ONCE).astype(np.int64)
    yield from np.split(facing, np.flatnonzero(np.diff(turn)) + 1)


def _place(
    triangles: Triangles, flat: Floats, away: Floats, some: Ints, spots: Covered, near: Floats
) -> tuple[Floats, Floats]:
    """Where in its part's picture each pixel lies; seen from a point, u / distance is linear."""
    shares = triangles.uv[some] / away[some, :, None]
    u, v = (_spread(flat[some], shares[:, :, i], spots) / near for i in (0, 1))
    return u, v


def _front(
    triangles: Triangles,
    surfaces: Surfaces,
    camera: Camera,
    flat: Floats,
    away: Floats,
    depth: NDArray[np.float32],
    who: NDArray[np.int32],
) -> Nearest:
    pixel = np.flatnonzero(who >= 0)
    row, column = np.divmod(pixel, camera.width)
    used, mine = np.unique(who[pixel].astype(np.int64), return_inverse=True)
    spots, near = Covered(mine, column, row), depth[pixel]
    u, v = _place(triangles, flat, away, used, spots, near.astype(np.float64))
    colour, _ = surfaces.at(triangles.part[used][mine], u, v)
    normal = [_spread(flat[used], triangles.normals[used, :, i], spots) for i in range(3)]
    top, left = int(row.min()) // ALIGNED * ALIGNED, int(column.min()) // ALIGNED * ALIGNED
    low = min(-(-(int(row.max()) + 1) // ALIGNED) * ALIGNED, camera.height)
    right = min(-(-(int(column.max()) + 1) // ALIGNED) * ALIGNED, camera.width)
    return Nearest(
        box=(top, left, low, right),
        row=row - top,
        column=column - left,
        triangle=used[mine],
        normal=unit(np.stack(normal, axis=1)),
        near=near,
        colour=colour,
        scale=camera.focal * float(near.mean()),
    )


def _spread(corners: Floats, values: Floats, spots: Covered) -> Floats:
    """Values [triangles, 3] at the corners, carried to the pixels under the triangles."""
    plane = planes(corners, values).T
    a, b, c = (part[spots.triangle] for part in plane)
    spread: Floats = a * (spots.column + 0.5) + b * (spots.row + 0.5) + c
    return spread

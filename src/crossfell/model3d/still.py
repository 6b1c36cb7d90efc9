"""What does the piece look like on its wall, with its shadow, before it is made?

Drawn from the same parts as the model, with a depth for every pixel, in linear light. No graphics
card, the same bytes each time.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.drawings.colour import linear_from_hex
from crossfell.drawings.look import WALL_LOW
from crossfell.model3d.camera import Camera, camera_for
from crossfell.model3d.light import Lamp, Shadow, lamp_of, shadow_of
from crossfell.model3d.mesh import unit
from crossfell.model3d.model import parts_of
from crossfell.model3d.picture import Pixels, png_of
from crossfell.model3d.raster import Covered, covered, planes
from crossfell.model3d.surfaces import (
    Light,
    Surfaces,
    Triangles,
    encoded,
    surfaces_of,
    triangles_of,
)
from crossfell.order.model import Ints
from crossfell.paths.model import Floats
from crossfell.piece import Piece

FINER = 2  # samples across each pixel, both ways
AT_ONCE = 3000  # triangles
AMBIENT, DIRECT = 0.42, 0.62  # light from all sides, light from the lamp
SHADOW_SHARE = 0.82  # of the lamp's light that a full shadow takes away; the room gives some back
FLOOR = "#b9b0a3"
NEAR_MM, DEEP_MM = 3.0, 0.8  # what stands in front within this reach, by this much, takes light


def still(
    piece: Piece,
    *,
    width_px: int = 1000,
    tallest_px: int = 1400,
    fill: bool = False,
    hung: bool = False,
) -> Pixels:
    """The piece on its wall [pixels, pixels, 3], no wider and no taller than asked for.

    As drawn, or `hung` as it comes to rest; `fill` shows more wall, to be of just that size.
    """
    parts = [part for part in parts_of(piece, hung=hung) if part.name != "wall"]
    triangles = triangles_of(parts)
    points = triangles.corners.reshape(-1, 3)
    camera = camera_for(points, width_px, tallest_px, fill=fill)
    surfaces = surfaces_of(parts, FINER * camera.px_per_mm(points.mean(axis=0)))
    lamp = lamp_of(piece)
    step = max(1.0, float(np.ptp(points, axis=0).max()) / 1200)
    shadow = shadow_of(triangles.corners, lamp, piece.draft.hang.off_wall_mm, step)
    light = _background(camera, lamp, shadow)
    front = _nearest(triangles, surfaces, camera.finer(FINER))
    lit = front.colour * _shade(front, triangles, surfaces, camera, lamp)[:, None]
    size = (camera.height, FINER, camera.width, FINER)
    sums = np.zeros((camera.height * camera.width * FINER * FINER, 4), dtype=np.float32)
    sums[front.pixel, :3], sums[front.pixel, 3] = lit, 1.0
    mean = sums.reshape(*size, 4).mean(axis=(1, 3))
    return encoded(mean[..., :3] + light * (1 - mean[..., 3:]))


def still_png(piece: Piece, *, width_px: int = 1000, tallest_px: int = 1400) -> bytes:
    """The same as a PNG."""
    return png_of(still(piece, width_px=width_px, tallest_px=tallest_px))


def _background(camera: Camera, lamp: Lamp, shadow: Shadow) -> Light:
    """Wall and floor [height, width, 3], with the shadow.

    Light of a lamp on a wall: E = I cos θ / r², so (Dl / r)³ of what it is straight before it.
    """
    x, y = camera.wall()
    away = np.sqrt((x - lamp.x) ** 2 + (y - lamp.y) ** 2 + lamp.z**2)
    falls = (lamp.z / away) ** 3
    light = AMBIENT + DIRECT * falls / falls.max() * (1 - SHADOW_SHARE * shadow.at(x, y))
    wall = np.array(linear_from_hex(WALL_LOW)) * light[..., None]
    floor = np.array(linear_from_hex(FLOOR)) * (0.75 * light[..., None] + 0.1)
    out: Light = np.where(y[..., None] < 0, floor, wall).astype(np.float32)
    return out


@dataclass(frozen=True, kw_only=True)
class _Front:
    """What stands in front at each pixel that shows the piece; arrays are [pixels]."""

    pixel: Ints
    triangle: Ints
    normal: Floats  # [pixels, 3]
    near: NDArray[np.float32]  # 1 / distance
    colour: Light  # [pixels, 3]
    shape: tuple[int, int]
    scale: float  # pixels in a millimetre, about


def _nearest(triangles: Triangles, surfaces: Surfaces, camera: Camera) -> _Front:
    """Draw all triangles, the nearest in front; holes let through what is behind them."""
    flat, away = camera.seen(triangles.corners)
    one, two = flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]
    seen = np.flatnonzero(one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0] < -1e-9)
    depth = np.zeros(camera.width * camera.height, dtype=np.float32)
    who = np.full(len(depth), -1, dtype=np.int64)
    colours = np.zeros((len(depth), 3), dtype=np.float32)
    for start in range(0, len(seen), AT_ONCE):
        some = seen[start : start + AT_ONCE]
        spots = covered(flat[some], camera.width, camera.height)
        mine = spots.triangle

        near = _spread(flat[some], 1 / away[some], spots)
        shares = triangles.uv[some] / away[some, :, None]
        u, v = (_spread(flat[some], shares[:, :, i], spots) / near for i in (0, 1))
        colour, solid = surfaces.at(triangles.part[some][mine], u, v)
        pixel = spots.row * camera.width + spots.column
        there = np.where(solid, near, 0.0).astype(np.float32)
        np.maximum.at(depth, pixel, there)
        wins = solid & (there == depth[pixel])
        who[pixel[wins]] = some[mine[wins]]
        colours[pixel[wins]] = colour[wins]
    pixel = np.flatnonzero(who >= 0)
    scale = camera.focal * float(depth[pixel].mean()) if len(pixel) else 1.0
    spots = Covered(who[pixel], pixel % camera.width, pixel // camera.width)
    normal = [_spread(flat, triangles.normals[:, :, i], spots) for i in range(3)]
    return _Front(
        pixel=pixel,
        triangle=who[pixel],
        normal=unit(np.stack(normal, axis=1)),
        near=depth[pixel],
        colour=colours[pixel],
        shape=(camera.height, camera.width),
        scale=scale,
    )


def _spread(corners: Floats, values: Floats, spots: Covered) -> Floats:
    """Values [triangles, 3] at the corners, carried to the pixels under the triangles."""
    plane = planes(corners, values)[spots.triangle]
    spread: Floats = (
        plane[:, 0] * (spots.column + 0.5) + plane[:, 1] * (spots.row + 0.5) + plane[:, 2]
    )
    return spread


def _shade(
    front: _Front, triangles: Triangles, surfaces: Surfaces, camera: Camera, lamp: Lamp
) -> Floats:
    """[pixels] light on what is in front: from the room, from the lamp, and a glint on metal."""
    middle = triangles.corners.reshape(-1, 3).mean(axis=0)
    to_lamp = unit(np.array([lamp.x, lamp.y, lamp.z]) - middle)
    normal = front.normal
    direct = np.clip(normal @ to_lamp, 0, None)
    glint = np.clip(normal @ unit(to_lamp + camera.axes[2]), 0, 1) ** 40
    room = AMBIENT * (0.8 + 0.2 * normal[:, 1]) * (0.55 + 0.45 * np.clip(normal[:, 2], 0, 1))
    light = room + 0.72 * direct + 1.6 * surfaces.metallic[triangles.part[front.triangle]] * glint
    out: Floats = light * _open(front, normal @ camera.axes[2])
    return out


def _open(front: _Front, facing: Floats) -> Floats:
    """Less light where something close by stands in front: what is over shades what is under.

    Only what faces the viewer is compared: where a unit turns, its own slope is no shade.
    """
    there = np.zeros(front.shape, dtype=np.float32)
    before = np.zeros(front.shape, dtype=np.float32)
    there.reshape(-1)[front.pixel] = 1.0
    if not len(front.pixel):
        return np.empty(0)
    distance = 1 / front.near.astype(np.float64)
    nearer = distance.mean() - distance  # mm
    before.reshape(-1)[front.pixel] = nearer
    reach = max(2, round(NEAR_MM * front.scale))
    mean = _blurred(before, reach) / np.maximum(_blurred(there, reach), 1e-6)
    taken = np.clip((mean.reshape(-1)[front.pixel] - nearer) / DEEP_MM, 0, 1)
    out: Floats = 1 - 0.55 * taken * np.clip(8 * facing - 7, 0, 1)
    return out


def _blurred(values: NDArray[np.float32], reach: int) -> Floats:
    """Mean over a square of 2 reach + 1, twice, which is nearly a bell."""
    size = 2 * reach + 1
    out = values.astype(np.float64)
    for _ in range(2):
        for axis in (0, 1):
            pad = [(reach + 1, reach) if a == axis else (0, 0) for a in (0, 1)]
            run = np.moveaxis(np.cumsum(np.pad(out, pad, mode="edge"), axis=axis), axis, 0)
            out = np.moveaxis((run[size:] - run[:-size]) / size, 0, axis)
    return out

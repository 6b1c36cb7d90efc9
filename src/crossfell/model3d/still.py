"""What does the piece look like on its wall, with its shadow, before it is made?

Drawn from the same parts as the model, with a depth for every pixel, in linear light. No graphics
card, the same bytes each time.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from crossfell.drawings.look import WALL_LOW
from crossfell.materials.colour import linear_from_hex
from crossfell.model3d.camera import Camera, camera_for
from crossfell.model3d.glb import Node
from crossfell.model3d.light import Shadow, SphereLamp, lamp_of, shadow_of
from crossfell.model3d.mesh import Mesh, unit
from crossfell.model3d.model import CORD_MM, parts_of
from crossfell.model3d.nearest import Nearest, nearest
from crossfell.model3d.picture import Pixels, png_of
from crossfell.model3d.surfaces import (
    Light,
    Surfaces,
    Triangles,
    averaged,
    encoded,
    surfaces_of,
    triangles_of,
)
from crossfell.paths.model import Floats
from crossfell.piece import Piece

FINER = 2  # samples across each pixel, both ways
LEAST_PX = 1.5  # samples across a cord
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
    points = np.concatenate([part.mesh.points for part in parts])
    camera = camera_for(points, width_px, tallest_px, fill=fill)
    finest = FINER * camera.px_per_mm(points.mean(axis=0))
    parts = [_thick_enough(part, LEAST_PX / finest) for part in parts]
    triangles, surfaces = triangles_of(parts), surfaces_of(parts, finest)
    lamp = lamp_of(piece)
    step = max(1.0, float(np.ptp(points, axis=0).max()) / 1200)
    shadow = shadow_of(triangles.corners, lamp, piece.draft.hang.off_wall_mm, step)
    light = _background(camera, lamp, shadow)
    front = nearest(triangles, surfaces, camera.finer(FINER))
    lit = front.colour * _shade(front, triangles, surfaces, camera, lamp)[:, None]
    top, left, low, right = (side // FINER for side in front.box)
    sums = np.zeros((*front.shape, 4), dtype=np.float32)
    sums[front.row, front.column, :3], sums[front.row, front.column, 3] = lit, 1.0
    mean = averaged(averaged(sums, FINER, 0), FINER, 1)
    light[top:low, left:right] *= 1 - mean[..., 3:]
    light[top:low, left:right] += mean[..., :3]
    return encoded(light)


def still_png(piece: Piece, *, width_px: int = 1000, tallest_px: int = 1400) -> bytes:
    """The same as a PNG."""
    return png_of(still(piece, width_px=width_px, tallest_px=tallest_px))


def _thick_enough(part: Node, least_mm: float) -> Node:
    """A cord that is thinner than a pixel is drawn as thick as one, so that it does not break."""
    if not part.name.startswith("cord ") or least_mm <= CORD_MM:
        return part
    mesh = part.mesh
    points = mesh.points + mesh.normals * (least_mm - CORD_MM) / 2
    return Node(name=part.name, mesh=Mesh(**{**vars(mesh), "points": points}), skin=part.skin)


def _background(camera: Camera, lamp: SphereLamp, shadow: Shadow) -> Light:
    """Wall and floor [height, width, 3], with the shadow.

    Light of a lamp on a wall: E = I cos θ / r², so (Dl / r)³ of what it is straight before it.
    """
    x, y = camera.wall()
    falls = (lamp.z**2 / ((x - lamp.x) ** 2 + (y - lamp.y) ** 2 + lamp.z**2)) ** 1.5
    light = AMBIENT + DIRECT * falls / falls.max() * (1 - SHADOW_SHARE * shadow.at(x, y))
    wall, floor = (np.array(linear_from_hex(c), dtype=np.float32) for c in (WALL_LOW, FLOOR))
    out: Light = light[..., None] * wall
    below = y < 0
    out[below] = (0.75 * light[below, None] + np.float32(0.1)) * floor
    return out


def _shade(
    front: Nearest, triangles: Triangles, surfaces: Surfaces, camera: Camera, lamp: SphereLamp
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


def _open(front: Nearest, facing: Floats) -> Floats:
    """Less light where something close by stands in front: what is over shades what is under.

    Only what faces the viewer is compared: where a unit turns, its own slope is no shade.
    """
    there = np.zeros(front.shape, dtype=np.float32)
    before = np.zeros(front.shape, dtype=np.float32)
    there[front.row, front.column] = 1.0
    distance = 1 / front.near.astype(np.float64)
    nearer = distance.mean() - distance  # mm
    before[front.row, front.column] = nearer
    reach = max(2, round(NEAR_MM * front.scale))
    mean = _blurred(before, reach) / np.maximum(_blurred(there, reach), 1e-6)
    taken = np.clip((mean[front.row, front.column] - nearer) / DEEP_MM, 0, 1)
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

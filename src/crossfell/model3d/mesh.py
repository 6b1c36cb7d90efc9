"""What is a part of the model made of: corners, normals, tangents, places in its picture?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from crossfell.order.model import Ints
from crossfell.paths.model import Floats


@dataclass(frozen=True, kw_only=True)
class Mesh:
    """Triangles with outward normals, anticlockwise seen from outside; millimetres."""

    points: Floats  # [corners, 3]
    normals: Floats  # [corners, 3] of length 1
    tangents: Floats  # [corners, 4] direction of growing u, and the side of v (glTF 2.0, 3.7.2.1)
    uv: Floats  # [corners, 2] place in the part's picture
    faces: Ints  # [triangles, 3]


def joined(meshes: Iterable[Mesh]) -> Mesh:
    """Several meshes as one."""
    parts = list(meshes)
    firsts = np.cumsum([0, *(len(part.points) for part in parts)])
    return Mesh(
        points=np.concatenate([part.points for part in parts]),
        normals=np.concatenate([part.normals for part in parts]),
        tangents=np.concatenate([part.tangents for part in parts]),
        uv=np.concatenate([part.uv for part in parts]),
        faces=np.concatenate(
            [part.faces + first for part, first in zip(parts, firsts[:-1], strict=True)]
        ),
    )


def tube(
    start: Sequence[float] | Floats, end: Sequence[float] | Floats, radius: float, sides: int = 10
) -> Mesh:
    """A round bar between two points, closed at both ends."""
    one, two = np.array(start), np.array(end)
    along = unit(two - one)
    aside = unit(np.cross(along, [0.0, 0.0, 1.0] if abs(along[2]) < 0.9 else [1.0, 0.0, 0.0]))
    other = np.cross(along, aside)
    turn = 2 * np.pi * np.arange(sides) / sides
    ring = np.cos(turn)[:, None] * aside + np.sin(turn)[:, None] * other
    walls = [one + radius * ring, two + radius * ring]
    caps = [one + radius * ring, two + radius * ring]
    points = np.concatenate([*walls, *caps])
    facing = np.repeat([-along, along], sides, axis=0)
    normals = np.concatenate([ring, ring, facing])
    i = np.arange(sides)
    j = (i + 1) % sides
    side = np.concatenate(
        [np.column_stack([i, j, j + sides]), np.column_stack([i, j + sides, i + sides])]
    )
    fan = np.arange(1, sides - 1)
    first = np.column_stack([np.zeros_like(fan), fan + 1, fan]) + 2 * sides
    last = np.column_stack([np.zeros_like(fan), fan, fan + 1]) + 3 * sides
    tangents = np.concatenate([np.tile(along, (2 * sides, 1)), np.tile(aside, (2 * sides, 1))])
    return Mesh(
        points=points,
        normals=normals,
        tangents=np.column_stack([tangents, np.ones(4 * sides)]),
        uv=np.zeros((4 * sides, 2)),
        faces=np.concatenate([side, first, last]),
    )


def sheet(left: float, low: float, right: float, high: float, z: float) -> Mesh:
    """A flat rectangle that faces the viewer."""
    return Mesh(
        points=np.array([[left, low, z], [right, low, z], [right, high, z], [left, high, z]]),
        normals=np.tile([0.0, 0.0, 1.0], (4, 1)),
        tangents=np.tile([1.0, 0.0, 0.0, 1.0], (4, 1)),
        uv=np.array([[0.0, 1.0], [1.0, 1.0], [1.0, 0.0], [0.0, 0.0]]),
        faces=np.array([[0, 1, 2], [0, 2, 3]]),
    )


def unit(vectors: Floats) -> Floats:
    """Vectors [..., 3] at length 1."""
    length = np.linalg.norm(vectors, axis=-1, keepdims=True)
    out: Floats = vectors / np.maximum(length, 1e-12)
    return out

"""What does an open unit look like in space: a ribbon of its thickness, or each end a thread?"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from crossfell.model3d.course import Courses
from crossfell.model3d.mesh import Mesh, joined, unit
from crossfell.order.model import Ints
from crossfell.paths.model import Floats

REPEAT_MM = 4.0  # of the yarn's twist, along the ribbon
CORNERS, CAPS = 8, 8  # corners of each ring, and of both caps together
SIDES = 5  # of a thread


def ribbons_of(courses: Courses, kept: np.ndarray, *, bare: bool = False) -> dict[int, Mesh]:
    """One mesh for each unit: its ribbons through all spans, each closed in itself.

    `bare` ribbons have a face and a back only: of pieces with very many.
    """
    by_unit: dict[int, list[Mesh]] = {}
    for rows, centre, across in _alike(courses, kept):
        wide, thick = courses.width_mm[rows], courses.thick_mm[rows]
        for row, part in zip(
            rows, ribbons_about(centre, across, wide, thick, bare=bare), strict=True
        ):
            by_unit.setdefault(int(courses.unit[row]), []).append(part)
    return {unit_: joined(by_unit[unit_]) for unit_ in sorted(by_unit)}


def ribbons_about(
    centre: Floats, across: Floats, width_mm: Floats, thick_mm: Floats, *, bare: bool
) -> list[Mesh]:
    """Ribbons about centre lines [rows, samples, 3], `across` [rows, samples, 3] their width."""
    half, thick = width_mm[:, None, None] / 2, thick_mm[:, None, None] / 2
    left, right = centre - half * across, centre + half * across
    face_left = unit(np.cross(across, _along(left)))
    face_right = unit(np.cross(across, _along(right)))
    parts = _closed(left, right, thick * face_left, thick * face_right)
    return _face_and_back(parts, centre.shape[1]) if bare else parts


def threads_of(courses: Courses, kept: np.ndarray, ends: dict[int, Floats]) -> dict[int, Mesh]:
    """One mesh for each unit: every end a thread; `ends` has mm from the middle, by unit."""
    by_unit: dict[int, list[Mesh]] = {}
    for rows, centre, across in _alike(courses, kept):
        for i, row in enumerate(rows):
            unit_ = int(courses.unit[row])
            offsets = ends[unit_]
            lines = centre[i][None] + offsets[:, None, None] * across[i][None]
            share = 0.5 + offsets / float(courses.width_mm[row])
            radius = float(courses.thick_mm[row]) / 2
            by_unit.setdefault(unit_, []).append(_threads(lines, across[i], radius, share))
    return {unit_: joined(by_unit[unit_]) for unit_ in sorted(by_unit)}


def count(courses: Courses, kept: np.ndarray, *, bare: bool = False) -> int:
    """Triangles that `ribbons_of` makes: eight a segment and two a cap, or four a segment."""
    ribbons = len(courses.span)
    segments = int(kept.sum()) - ribbons
    return 4 * segments if bare else 8 * segments + 4 * ribbons


def _alike(courses: Courses, kept: np.ndarray) -> Iterator[tuple[Ints, Floats, Floats]]:
    """Ribbons of as many samples: rows, centres and level widths [rows, samples, 3]."""
    counts = kept.sum(axis=1)
    share = np.linspace(0, 1, kept.shape[1])
    for number in np.unique(counts):
        rows = np.flatnonzero(counts == number)
        at = np.nonzero(kept[rows])[1].reshape(len(rows), number)
        z = np.take_along_axis(courses.z_mm[rows], at, axis=1)
        angle = np.take_along_axis(courses.angle_rad[rows], at, axis=1)
        start, end = courses.start_mm[rows, None], courses.end_mm[rows, None]
        flat = start + (end - start) * share[at][:, :, None]
        flat[:, :, 0] += np.take_along_axis(courses.aside_mm[rows], at, axis=1)
        centre = np.concatenate([flat, z[:, :, None]], axis=2)
        across = np.stack([courses.side * np.cos(angle), np.zeros_like(z), -np.sin(angle)], axis=2)
        yield rows, centre, across


def _along(line: Floats) -> Floats:
    """Directions [rows, samples, 3] of polylines."""
    step = np.diff(line, axis=1)
    ahead = np.concatenate([step, step[:, -1:]], axis=1)
    behind = np.concatenate([step[:, :1], step], axis=1)
    return unit(unit(ahead) + unit(behind))


def _closed(left: Floats, right: Floats, up_left: Floats, up_right: Floats) -> list[Mesh]:
    """Ribbons [rows, samples, 3] with four sides and two caps."""
    rows, number, _ = left.shape
    a, b = left + up_left, right + up_right  # face
    c, d = right - up_right, left - up_left  # back
    ring = np.stack([a, b, b, c, c, d, d, a], axis=2)
    out = unit(right - left)
    over_left, over_right = unit(up_left), unit(up_right)
    normals = np.stack(
        [over_left, over_right, out, out, -over_right, -over_left, -out, -out], axis=2
    )
    along = _along((left + right) / 2)
    tangents = np.stack([out, out, *([-over_right] * 2), out, out, *([over_left] * 2)], axis=2)
    sign = np.broadcast_to(
        np.array([-1.0, -1, -1, -1, 1, 1, -1, -1])[None, None, :, None], (*tangents.shape[:3], 1)
    )
    steps = np.linalg.norm(np.diff((left + right) / 2, axis=1), axis=2)
    v = np.concatenate([np.zeros((rows, 1)), np.cumsum(steps, axis=1)], axis=1) / REPEAT_MM
    u = np.array([0.0, 1, 1, 1, 1, 0, 0, 0])
    uv = np.stack(np.broadcast_arrays(u[None, None, :], v[:, :, None]), axis=3)
    ends = [0, number - 1]
    cap = np.stack([a, b, c, d], axis=2)[:, ends].reshape(rows, 8, 3)
    cap_normal = np.repeat(np.stack([-along[:, 0], along[:, -1]], axis=1), 4, axis=1)
    cap_tangent = np.repeat(out[:, ends], 4, axis=1)
    cap_uv = np.tile([[0.0, 0], [1, 0], [1, 0], [0, 0]], (rows, 2, 1))
    flat = number * CORNERS
    points = np.concatenate([ring.reshape(rows, flat, 3), cap], axis=1)
    all_normals = np.concatenate([normals.reshape(rows, flat, 3), cap_normal], axis=1)
    with_sign = np.concatenate([tangents, sign], axis=3).reshape(rows, flat, 4)
    caps_signed = np.concatenate([cap_tangent, np.ones((rows, 8, 1))], axis=2)
    all_tangents = np.concatenate([with_sign, caps_signed], axis=1)
    all_uv = np.concatenate([uv.reshape(rows, flat, 2), cap_uv], axis=1)
    faces = _faces(number)
    return [
        Mesh(points=points[i], normals=all_normals[i], tangents=all_tangents[i], uv=all_uv[i],
             faces=faces)
        for i in range(rows)
    ]  # fmt: skip


def _faces(number: int) -> Ints:
    """Triangles of a ribbon of `number` rings."""
    first = CORNERS * np.arange(number - 1)[:, None] + 2 * np.arange(4)
    one = first.ravel()
    two, up = one + 1, CORNERS
    sides = np.concatenate(
        [np.column_stack([one, two, two + up]), np.column_stack([one, two + up, one + up])]
    )
    low = CORNERS * number
    caps = np.array([[0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7]]) + low
    return np.concatenate([sides, caps])


def _face_and_back(ribbons: list[Mesh], number: int) -> list[Mesh]:
    """Ribbons of `number` rings without their sides and caps."""
    first = (CORNERS * np.arange(number - 1)[:, None] + np.array([0, 4])).ravel()
    two, up = first + 1, CORNERS
    faces = np.concatenate(
        [np.column_stack([first, two, two + up]), np.column_stack([first, two + up, first + up])]
    )
    used, named = np.unique(faces, return_inverse=True)
    return [
        Mesh(points=mesh.points[used], normals=mesh.normals[used], tangents=mesh.tangents[used],
             uv=mesh.uv[used], faces=named.reshape(faces.shape))
        for mesh in ribbons
    ]  # fmt: skip


def _threads(lines: Floats, across: Floats, radius: float, share: Floats) -> Mesh:
    """Threads along lines [ends, samples, 3] of one ribbon; open at their ends, in the bands."""
    ends, number, _ = lines.shape
    along = _along(lines)
    face = unit(np.cross(across[None], along))
    aside = np.cross(along, face)
    turn = 2 * np.pi * np.arange(SIDES) / SIDES
    normals = np.cos(turn)[:, None] * aside[:, :, None] + np.sin(turn)[:, None] * face[:, :, None]
    points = lines[:, :, None] + radius * normals
    tangents = np.broadcast_to(along[:, :, None], normals.shape)
    u = np.broadcast_to(share[:, None, None], normals.shape[:3])
    i = np.arange(SIDES)
    j = (i + 1) % SIDES
    step = SIDES * np.arange(number - 1)[:, None]
    one, two = (step + i).ravel(), (step + j).ravel()
    faces = np.concatenate(
        [np.column_stack([one, two + SIDES, two]), np.column_stack([one, one + SIDES, two + SIDES])]
    )
    size = ends * number * SIDES
    all_faces = faces[None] + (number * SIDES * np.arange(ends))[:, None, None]
    return Mesh(
        points=points.reshape(size, 3),
        normals=normals.reshape(size, 3),
        tangents=np.column_stack([tangents.reshape(size, 3), np.ones(size)]),
        uv=np.column_stack([u.reshape(size), np.zeros(size)]),
        faces=all_faces.reshape(-1, 3),
    )

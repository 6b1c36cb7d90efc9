"""What does a unit of a very large piece look like: one strip through all spans, in few corners?

Where there is no room for a ribbon in every span, each unit is a single face and back that runs
through spans and bands. It keeps those of its points that stray farthest: ends and middles of its
ribbons, so that where it goes and over whom it passes is kept as far as there is room.
"""

from __future__ import annotations

import numpy as np

from crossfell.model3d.course import Courses, needed
from crossfell.model3d.heights import SAMPLES
from crossfell.model3d.mesh import Mesh
from crossfell.model3d.ribbons import ribbons_about
from crossfell.order.model import Ints
from crossfell.paths.model import Floats

EACH = np.array([0, SAMPLES // 2, SAMPLES - 1])  # samples of a ribbon that a strip can keep
BARE = 4  # triangles of a segment with face and back


def strips_of(courses: Courses, room: int) -> dict[int, Mesh]:
    """One mesh for each unit; `room` triangles in all, or four for each unit if that is more."""
    units = np.unique(courses.unit)
    most = max(2, room // (BARE * max(1, len(units))) + 1)
    rows = np.stack([np.flatnonzero(courses.unit == u) for u in units])  # [units, spans]
    centre, angle = _through(courses, rows)
    width = courses.width_mm[rows[:, 0]]
    half = width[:, None] / 2
    sides = np.stack([half * np.cos(angle), half * np.sin(angle)], axis=2)
    kept = needed(np.concatenate([centre, sides], axis=2), 0.01, most)
    return {
        int(u): _strip(courses, rows[i, 0], centre[i, kept[i]], angle[i, kept[i]])
        for i, u in enumerate(units)
    }


def _through(courses: Courses, rows: Ints) -> tuple[Floats, Floats]:
    """Centre lines [units, points, 3] and angles [units, points] through all spans, upwards."""
    share = np.linspace(0, 1, SAMPLES)[EACH]
    start, end = courses.start_mm[rows][:, :, None], courses.end_mm[rows][:, :, None]
    flat = start + (end - start) * share[:, None]
    flat[..., 0] += courses.aside_mm[rows][:, :, EACH]
    z = courses.z_mm[rows][:, :, EACH]
    centre = np.concatenate([flat, z[..., None]], axis=3)
    points = rows.shape[1] * len(EACH)
    return centre.reshape(len(rows), points, 3), courses.angle_rad[rows][:, :, EACH].reshape(
        len(rows), points
    )


def _strip(courses: Courses, row: int, centre: Floats, angle: Floats) -> Mesh:
    across = np.stack([courses.side * np.cos(angle), np.zeros_like(angle), -np.sin(angle)], axis=1)
    return ribbons_about(
        centre[None],
        across[None],
        courses.width_mm[[row]],
        courses.thick_mm[[row]],
        bare=True,
    )[0]

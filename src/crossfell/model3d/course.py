"""Where does every open ribbon run in space, once the piece hangs?

Frame: millimetres; x to the right with 0 at the piece's left edge, y up from its lowest edge, z
towards the viewer with 0 in the middle of the bands. A ribbon's cross-section stays level, as at
the loom: a leaning unit narrows to w·cos(lean) across its path.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.model3d.heights import SAMPLES, crossed, heights_of
from crossfell.model3d.pose import Poses, poses_of
from crossfell.model3d.sag import sagged
from crossfell.order.model import Ints
from crossfell.paths.model import Floats
from crossfell.paths.stage import yarn_diameter_mm
from crossfell.piece import Piece


@dataclass(frozen=True, kw_only=True)
class Courses:
    """All open ribbons, one row for each span and unit, in weaving direction."""

    span: Ints  # [ribbons] index
    unit: Ints  # [ribbons]
    start_mm: Floats  # [ribbons, 2] middle of its first-woven end
    end_mm: Floats  # [ribbons, 2]
    aside_mm: Floats  # [ribbons, SAMPLES] to the right of its chord
    z_mm: Floats  # [ribbons, SAMPLES]
    angle_rad: Floats  # [ribbons, SAMPLES] 0: face forward; right turns positive
    width_mm: Floats  # [ribbons]
    thick_mm: Floats  # [ribbons]
    side: int  # -1 where the piece hangs half round in its plane, else 1
    short_mm: float  # see Heights

    def keep(self, tolerance_mm: float) -> np.ndarray:
        """[ribbons, SAMPLES] samples that a polyline needs to stay within the tolerance."""
        half = self.width_mm[:, None] / 2
        across, deep = half * np.cos(self.angle_rad), half * np.sin(self.angle_rad)
        curve = np.stack([across, deep, self.z_mm, self.aside_mm], axis=-1)
        return needed(curve, tolerance_mm)


def courses_of(piece: Piece, poses: Poses | None = None) -> Courses:
    """The courses of all units in all spans, as drawn or with every band in its pose.

    In a pose, units that are too long for their chords bow by what they are too long.
    """
    draft, order, paths = piece.draft, piece.order, piece.paths
    spans, units = len(draft.spans), len(draft.units)
    thick = np.array([thickness_mm(piece, unit.kind) for unit in draft.units])
    angle = angles_of(piece)
    x, z = lines_of(piece)
    wide = np.abs(np.cos(angle)) * paths.width_mm[:, None]
    deep = np.abs(np.sin(angle)) * paths.width_mm[:, None] + np.abs(np.cos(angle)) * thick[:, None]
    heights = heights_of(crossed(order, x), x, z, wide, deep)
    poses = poses or poses_of(piece, hung=False)
    start, end = ends_of(piece, poses)
    wall = draft.on_wall()
    aside = wall.side(x - _chords(paths.x_mm)).reshape(-1, SAMPLES)
    plane = start[:, None] + (end - start)[:, None] * np.linspace(0, 1, SAMPLES)[:, None]
    plane[:, :, 0] += aside
    return Courses(
        span=np.repeat(np.arange(spans), units),
        unit=np.tile(np.arange(units), spans),
        start_mm=start,
        end_mm=end,
        aside_mm=aside,
        z_mm=sagged(heights.z_mm.reshape(-1, SAMPLES), plane, poses.slack_mm.ravel()),
        angle_rad=angle.reshape(-1, SAMPLES),
        width_mm=np.tile(paths.width_mm, spans),
        thick_mm=np.tile(thick, spans),
        side=wall.across,
        short_mm=heights.short_mm,
    )


def ends_of(piece: Piece, poses: Poses) -> tuple[Floats, Floats]:
    """First-woven and last-woven ends [ribbons, 2] of every ribbon, in the frame of the wall."""
    paths, units = piece.paths, len(piece.draft.units)
    span = np.repeat(np.arange(len(piece.draft.spans)), units)
    start = _hung(piece, paths.x_mm[:-1].ravel(), np.repeat(paths.band_top_mm[:-1], units))
    end = _hung(piece, paths.x_mm[1:].ravel(), np.repeat(paths.band_bottom_mm[1:], units))
    return poses.points(span, start), poses.points(span + 1, end)


def lines_of(piece: Piece) -> tuple[Floats, Floats]:
    """Centre lines of the paths, sampled: x and z [spans, units, SAMPLES], loom's frame.

    Only interlaced spans leave their chords; they are made in passes, one above the other.
    """
    paths = piece.paths
    x = _chords(paths.x_mm)
    z = np.zeros_like(x)
    at = np.linspace(0, 1, SAMPLES)
    counts = np.diff(paths.lines.first).reshape(z.shape[:2])
    for span, unit in np.argwhere(counts > 2):
        x[span, unit], z[span, unit] = paths.lines.point_mm(int(span), int(unit), at)
    return x, z


def _chords(x_mm: Floats) -> Floats:
    """Straight lines [spans, units, SAMPLES] from band to band."""
    at = np.linspace(0, 1, SAMPLES)
    chords: Floats = x_mm[:-1, :, None] + np.diff(x_mm, axis=0)[:, :, None] * at
    return chords


def _hung(piece: Piece, x_mm: Floats, y_mm: Floats) -> Floats:
    """Points [points, 2] of the loom in the frame of the hung piece."""
    paths, wall = piece.paths, piece.draft.on_wall()
    x = wall.x(x_mm, paths.width_total_mm)
    return np.column_stack([x, wall.y(y_mm, paths.height_total_mm)])


def angles_of(piece: Piece) -> Floats:
    """[spans, units, SAMPLES] angle of each face from the viewer, flat at both bands.

    A right half turn carries the face over to the right as the weaving goes on: Z twist (ISO 2).
    """
    order = piece.order
    u = np.linspace(0, 1, SAMPLES)
    eased = u * u * (3 - 2 * u)
    first = np.where(order.face[:-1] > 0, 0.0, np.pi)
    shape = (len(order.spans), len(order.names))
    turns = np.array([span.half_turns for span in order.spans], dtype=np.float64).reshape(shape)
    angle: Floats = first[:, :, None] + np.pi * turns[:, :, None] * eased
    return angle


def thickness_mm(piece: Piece, kind: str) -> float:
    """Thickness of a ribbon: the diameter of its thickest yarn."""
    return max(yarn_diameter_mm(piece.draft, name) for _, name in piece.draft.kinds[kind].ends)


def needed(curve: Floats, tolerance: float, most: int | None = None) -> np.ndarray:
    """[rows, samples] the points of curves [rows, samples, …] that straight lines need.

    Both ends are kept; the point that is farthest off is added again and again, in every row at
    once, until no point is off by more than the tolerance, or `most` points of a row are kept.
    Source: Ramer 1972, Douglas and Peucker 1973. Checked: tests/model3d/test_courses_in_space.py.
    """
    rows, samples, _ = curve.shape
    at = np.arange(samples)
    kept = np.zeros((rows, samples), dtype=bool)
    kept[:, [0, -1]] = True
    left = np.arange(rows)
    room = samples if most is None else most - 2
    while len(left) and room > 0:
        room -= 1
        mine, keep = curve[left], kept[left]
        before = np.maximum.accumulate(np.where(keep, at, 0), axis=1)
        after = np.minimum.accumulate(np.where(keep, at, samples - 1)[:, ::-1], axis=1)[:, ::-1]
        share = (at - before) / np.maximum(after - before, 1)
        one = np.take_along_axis(mine, before[:, :, None], axis=1)
        two = np.take_along_axis(mine, after[:, :, None], axis=1)
        off = np.linalg.norm(mine - one - (two - one) * share[:, :, None], axis=2)
        worst = off.argmax(axis=1)
        more = off[np.arange(len(left)), worst] > tolerance
        left, worst = left[more], worst[more]
        kept[left, worst] = True
    return kept

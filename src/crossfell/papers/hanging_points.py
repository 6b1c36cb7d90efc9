"""Where on the wall does the piece hang, and what does each point carry?"""

from __future__ import annotations

import math
from dataclasses import dataclass

from crossfell.piece import Piece
from crossfell.statics.cords import cords_of, rod_length_mm
from crossfell.statics.wall import wall_loads


@dataclass(frozen=True, kw_only=True)
class Point:
    """One point on the wall. Lengths in mm."""

    number: int
    on_rod_mm: float  # of its cord, from the left end of the top rod
    tied_mm: float  # of its cord, right of the middle of the rod
    aside_mm: float  # right of the middle of the top rod
    height_mm: float  # above the floor
    cord_mm: float  # length of its cord; 0 on a rail
    up_mm: float  # from the rod up to it; 0 on a rail
    load_n: float | None  # on it, of all its cords as vectors; None where the statics found none
    shares: bool  # it is the point of the cord before, too: its load is told there


def top_rod_mm(piece: Piece) -> float:
    """Height of the top rod above the floor, when the lowest edge hangs where the draft says."""
    paths, wall = piece.paths, piece.draft.on_wall()
    middle = float(paths.band_bottom_mm[wall.top] + paths.band_top_mm[wall.top]) / 2
    return piece.draft.hang.above_floor_mm + wall.y(middle, paths.height_total_mm)


def points_of(piece: Piece) -> tuple[Point, ...]:
    """All points, from the left; on a rail, where it holds the rod."""
    hang, cords = piece.draft.hang, cords_of(piece.draft, piece.paths)
    half = rod_length_mm(piece.draft, piece.paths) / 2
    places = [round(at, 3) for at in cords.point_mm.tolist()]
    wall = {} if hang.rail else {
        round(point.at_mm, 3): point.load_n
        for point in wall_loads(piece.draft, piece.paths, piece.hung).points
    }  # fmt: skip
    rows = zip(cords.at_mm, cords.point_mm, cords.up_mm, map(wall.get, places), strict=True)
    return tuple(
        Point(
            number=i + 1,
            on_rod_mm=float(at),
            tied_mm=float(at) - half,
            aside_mm=float(at if hang.rail else point) - half,
            height_mm=top_rod_mm(piece) + (0.0 if hang.rail else float(up)),
            cord_mm=0.0 if hang.rail else math.hypot(up, point - at),
            up_mm=0.0 if hang.rail else float(up),
            load_n=load,
            shares=places[i] in places[:i] and not hang.rail,
        )
        for i, (at, point, up, load) in enumerate(rows)
    )

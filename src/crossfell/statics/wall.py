"""What does the wall carry, and how much room does the piece need before it?

Loads are those of the computed weight at rest; they say nothing about a fixing or a wall. See the
caution "overhead" of plan/cautions.py, which every paper with loads carries.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from crossfell.draft.model import Draft
from crossfell.paths.masses import CONTAINS
from crossfell.paths.model import Paths
from crossfell.statics.cords import cords_of, rod_length_mm
from crossfell.statics.model import Hung

SWING_RAD = math.radians(5)  # common practice, no source: what a draught or a passing sleeve does
TUG = 1.0  # times the weight, beside it. Common practice, no source
ASSUMED = (
    f"at rest, dry: {CONTAINS}",
    "cords as long as drafted, tied so that the rod hangs level",
    "a tug adds the weight once more: common practice, no source",
    "swinging out by 5 degrees: common practice, no source",
)


@dataclass(frozen=True, kw_only=True)
class WallPoint:
    """One point on the wall; mm from the left end of the top rod."""

    at_mm: float
    above_rod_mm: float
    cords: int
    load_n: float  # along its cord; of several cords their pulls added as vectors
    down_n: float
    aside_n: float  # right positive
    factor: float  # 1 / sin of the angle from the horizontal, of its flattest cord
    tugged_n: float  # with a tug


@dataclass(frozen=True, kw_only=True)
class WallLoads:
    """What the wall carries; lengths mm, front view."""

    weight_n: float
    points: tuple[WallPoint, ...]  # from the left; one for a rail: the whole of it
    centre_x_mm: float  # mass centre from the left edge of the woven width, at rest
    centre_y_mm: float  # above the lowest edge as drawn
    swing_mm: float  # room before the wall that the lowest edge takes when it swings out
    assumed: tuple[str, ...] = ASSUMED


def wall_loads(draft: Draft, paths: Paths, hung: Hung) -> WallLoads:
    """Loads, mass centre and swing of a hung piece. Source: derived, statics of a hung body."""
    rig, pose = hung.rig, hung.rest.pose
    tilt = pose[:, 2]
    arm_x = np.cos(tilt) * rig.moment_x - np.sin(tilt) * rig.moment_y
    arm_y = np.sin(tilt) * rig.moment_x + np.cos(tilt) * rig.moment_y
    rods = _rod_heights(draft, paths)
    centre_x = float((rig.weight_n * pose[:, 0] + arm_x).sum()) / rig.total_n
    centre_y = float((rig.weight_n * (pose[:, 1] + rods) + arm_y).sum()) / rig.total_n
    pivot = float(rods[0]) + (0.0 if draft.hang.rail else float(cords_of(draft, paths).up_mm.max()))
    return WallLoads(
        weight_n=rig.total_n,
        points=_rail(draft, paths, hung) if draft.hang.rail else _points(draft, paths, hung),
        centre_x_mm=centre_x + paths.width_total_mm / 2,
        centre_y_mm=centre_y,
        swing_mm=draft.hang.off_wall_mm + pivot * math.sin(SWING_RAD),
    )


def _points(draft: Draft, paths: Paths, hung: Hung) -> tuple[WallPoint, ...]:
    """Cords that end in the same point are summed as vectors."""
    cords, rest = cords_of(draft, paths), hung.rest
    springs = hung.rig.springs[1]
    x, tilt = springs.below_x[0], float(rest.pose[0, 2])
    dx = springs.dx[0] + rest.pose[0, 0] + (math.cos(tilt) - 1) * x
    dy = springs.dy[0] + rest.pose[0, 1] + math.sin(tilt) * x
    long = np.hypot(dx, dy)
    places: dict[float, list[int]] = {}
    for i, at in enumerate(cords.point_mm.tolist()):
        places.setdefault(round(at, 3), []).append(i)
    points = []
    for at, which in sorted(places.items()):
        down = float((-hung.cords_n * dy / long)[which].sum())
        aside = float((hung.cords_n * dx / long)[which].sum())
        load = math.hypot(down, aside)
        points.append(
            WallPoint(
                at_mm=at,
                above_rod_mm=float(cords.up_mm[which].max()),
                cords=len(which),
                load_n=load,
                down_n=down,
                aside_n=aside,
                factor=float((long / np.abs(dy))[which].max()),
                tugged_n=(1 + TUG) * load,
            )
        )
    return tuple(points)


def _rail(draft: Draft, paths: Paths, hung: Hung) -> tuple[WallPoint, ...]:
    weight = hung.weight_n
    return (
        WallPoint(at_mm=rod_length_mm(draft, paths) / 2, above_rod_mm=0.0, cords=0, load_n=weight,
                  down_n=weight, aside_n=0.0, factor=1.0, tugged_n=(1 + TUG) * weight),
    )  # fmt: skip


def _rod_heights(draft: Draft, paths: Paths) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Height (mm) of each band's reference point above the lowest edge, from the top."""
    middle = (paths.band_bottom_mm + paths.band_top_mm) / 2
    wall = draft.on_wall()
    return wall.y(middle, paths.height_total_mm)[wall.downwards]

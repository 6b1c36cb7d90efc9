"""By which cords does the top rod hang, and where on the rod are they tied?

Places are counted from the left end of the top rod, as it hangs. "least bending" ties two cords
where the greatest sag of the rod under an even load is least.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.draft.model import Draft
from crossfell.paths.masses import masses_of
from crossfell.paths.model import Paths
from crossfell.paths.rods import rods_on_wall_mm
from crossfell.statics.springs import Floats, Springs, springs_of

CLEAR = 0.1  # of the rod, between a cord and the mass centre. Common practice, no source
LEAST_SAG = 0.223149  # of the length, from each end. Derived: middle and ends sag alike


@dataclass(frozen=True, kw_only=True)
class Cords:
    """Where cords run, mm from the left end of the top rod; `up` is from the rod to the wall."""

    at_mm: Floats  # [cords] on the rod
    point_mm: Floats  # [cords] on the wall
    up_mm: Floats  # [cords]

    @property
    def lean_rad(self) -> Floats:
        """[cords] angle from the vertical, positive when it rises to the right."""
        lean: Floats = np.arctan2(self.point_mm - self.at_mm, self.up_mm)
        return lean


def rod_length_mm(draft: Draft, paths: Paths) -> float:
    """Length (mm) of the top rod."""
    return paths.rod_mm(draft.on_wall().top)


def top_left_mm(draft: Draft, paths: Paths) -> float:
    """Where the left end of the top rod hangs (mm from the left edge of the woven width)."""
    return float(rods_on_wall_mm(draft, paths)[draft.on_wall().top, 0])


def on_top_rod_mm(draft: Draft, paths: Paths) -> Floats:
    """[units] where each unit of the top band pulls, mm from the left end of the top rod."""
    wall = draft.on_wall()
    x = wall.x(paths.x_mm[wall.top], paths.width_total_mm) - top_left_mm(draft, paths)
    at: Floats = np.clip(x, 0.0, rod_length_mm(draft, paths))
    return at


def mass_centre_mm(draft: Draft, paths: Paths) -> float:
    """Place (mm) of the mass centre of all, from the left end of the top rod as it hangs."""
    masses = masses_of(draft, paths)
    middle = (paths.x_mm[1:] + paths.x_mm[:-1]) / 2
    moment = float((masses.open_g * middle).sum() + (masses.woven_g * paths.x_mm).sum())
    moment += float(masses.across_g @ masses.across_x_mm)
    x = moment / masses.total_g if masses.total_g else paths.width_total_mm / 2
    return draft.on_wall().x(x, paths.width_total_mm) - top_left_mm(draft, paths)


def least_bending_mm(length_mm: float, centre_mm: float) -> list[float]:
    """Two cords (mm) where an even rod sags least; nearer an end where the mass hangs there.

    The mass centre stays between them, by a tenth of the rod at least: nothing tips.
    """
    left, right = LEAST_SAG * length_mm, (1 - LEAST_SAG) * length_mm
    clear = CLEAR * length_mm
    return [max(0.0, min(left, centre_mm - clear)), min(length_mm, max(right, centre_mm + clear))]


def cords_of(draft: Draft, paths: Paths) -> Cords:
    """The cords of a draft. One wall point serves all cords; with none each has its own above it.

    A cord too short for its wall point is taken as long as it must be to reach it at 45 degrees.
    """
    hang, length = draft.hang, rod_length_mm(draft, paths)
    itself = isinstance(hang.cords, str) or not hang.cords
    at = np.array(
        least_bending_mm(length, mass_centre_mm(draft, paths)) if itself else hang.cords,
        dtype=np.float64,
    )
    points = np.array(hang.points or tuple(at), dtype=np.float64)
    nearest = points if len(points) == len(at) else points[
        np.abs(points[None, :] - at[:, None]).argmin(axis=1)]  # fmt: skip
    side = np.abs(nearest - at)
    up = np.sqrt(np.maximum(hang.cord_length_mm**2 - side**2, 0.0))
    up = np.where(hang.cord_length_mm > side, up, side)
    return Cords(at_mm=at, point_mm=nearest, up_mm=np.maximum(up, 1.0))


def cord_springs(draft: Draft, paths: Paths, total_n: float) -> Springs:
    """Cords as springs from the wall to the top rod.

    They are tied so that the rod hangs where it is drafted while they share the weight evenly.
    """
    cords = cords_of(draft, paths)
    on_rod = (cords.at_mm + top_left_mm(draft, paths) - paths.width_total_mm / 2)[None, :]
    dx, dy = (cords.at_mm - cords.point_mm)[None, :], -cords.up_mm[None, :]
    long = np.hypot(dx, dy)
    stretched = total_n / dx.shape[1] / draft.hang.cord_stiffness_n
    zero = np.zeros(1)
    return springs_of(
        above=(np.zeros_like(on_rod), zero),
        below=(on_rod, zero),
        drop=(dx, dy),
        e0=long * stretched / (1 + stretched),
        k=draft.hang.cord_stiffness_n * (1 + stretched) / long,
    )

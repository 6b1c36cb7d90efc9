"""Is there room for it: do its points lie on the wall, does its foot clear the floor?

The piece hangs in the middle of the free width of its wall; a wall without a size says nothing.
A ceiling or a beam is the upper end of that wall. What counts as tight is common practice, no
source.
"""

from __future__ import annotations

import numpy as np

from crossfell.base.notes import Note, doubt
from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.paths.model import Paths
from crossfell.statics.cords import cords_of, rod_length_mm
from crossfell.statics.model import Hung

TIGHT_MM = 30.0  # beside a point, above it, or under the foot


def room_notes(draft: Draft, paths: Paths, hung: Hung) -> tuple[Note, ...]:
    """Doubts where it cannot be hung so, or where it is tight."""
    return (*_on_the_wall(draft, paths), *_above_the_floor(draft, hung))


def needs_mm(draft: Draft, paths: Paths) -> tuple[float, float]:
    """Width that points and top rod take, about the middle; height of the highest point."""
    wall, half = draft.on_wall(), rod_length_mm(draft, paths) / 2
    middle = float(paths.band_bottom_mm[wall.top] + paths.band_top_mm[wall.top]) / 2
    rod = draft.hang.above_floor_mm + wall.y(middle, paths.height_total_mm)
    if draft.hang.rail:
        return 2 * half, rod
    cords = cords_of(draft, paths)
    reach = max(half, float(np.abs(cords.point_mm - half).max()))
    return 2 * reach, rod + float(cords.up_mm.max())


def _on_the_wall(draft: Draft, paths: Paths) -> list[Note]:
    wall = draft.about.wall
    if wall is None:
        return []
    wide, high = needs_mm(draft, paths)
    what = "the rail" if draft.hang.rail else "the highest point"
    notes = []
    for free, need, says in (
        (wall.height_mm, high, f"{what} is {written(high, draft.measure)} above the floor"),
        (wall.width_mm, wide, f"points and top rod take {written(wide, draft.measure)} of width"),
    ):
        if free is None or need <= free - TIGHT_MM:
            continue
        code = "no-room" if need > free else "tight-room"
        notes.append(doubt(code, wall.where, says=says, free=written(free, draft.measure)))
    return notes


def _above_the_floor(draft: Draft, hung: Hung) -> list[Note]:
    """How far the foot hangs above the floor, at the lower end of a rod that tilts."""
    if not hung.converged:
        return []
    half = float(np.abs(hung.rig.spans.below_x[-1]).max())
    pose = hung.rest.pose[-1]
    foot = draft.hang.above_floor_mm + float(pose[1]) - abs(float(np.sin(pose[2]))) * half
    given = draft.hang.given
    where = given.get("above_floor_mm", draft.hang.where)
    facts = {"floor": written(draft.hang.above_floor_mm, draft.measure)}
    if foot < 0:
        return [doubt("touches-the-floor", where, **facts,
                      lower=written(draft.hang.above_floor_mm - foot, draft.measure))]  # fmt: skip
    return []

"""What does the hung shape do to its bands: how do units pull at the weft, and to which side?

Arrays in weaving order, front view, right positive.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.draft.model import Draft
from crossfell.statics.balance import Rig
from crossfell.statics.model import Hung
from crossfell.statics.newton import Rest
from crossfell.statics.springs import Floats, Springs


@dataclass(frozen=True, kw_only=True)
class Pulls:
    """Forces of the units on each band."""

    weft_n: Floats  # [bands] greatest pull along the weft; negative: it is pushed together
    aside_n: Floats  # [bands] what the units that pull to one side pull, balanced by the others


def pulls_of(draft: Draft, hung: Hung) -> Pulls:
    """Weft pull and side force on each band, from the horizontal pulls of units above and below.

    The weft (with rod and adhesive) carries what lies between two units that pull apart: its force
    at a place is the sum of the horizontal pulls to the left of it, turned round.
    Source: derived, equilibrium of a part of the band.
    """
    units, rig = len(draft.units), hung.rig
    nx, _ = directions(rig, hung.rest, 0)
    side = (nx * hung.rest.tension_n[0]).reshape(rig.bands - 1, units, -1).sum(axis=2)
    on = np.zeros((rig.bands, units))
    on[:-1] += side
    on[1:] -= side
    x = np.zeros((rig.bands, units))
    x[:-1] = rig.spans.above_x.reshape(rig.bands - 1, units, -1).mean(axis=2)
    x[-1] = rig.spans.below_x[-1].reshape(units, -1).mean(axis=1)
    row = np.argsort(x, axis=1, kind="stable")
    between = -np.cumsum(np.take_along_axis(on, row, axis=1), axis=1)[:, :-1]
    most = np.abs(between).argmax(axis=1)[:, None] if units > 1 else np.zeros((rig.bands, 0), int)
    weft = np.take_along_axis(between, most, axis=1).sum(axis=1)
    down = draft.on_wall().downwards
    return Pulls(weft_n=weft[down], aside_n=np.maximum(on, 0.0).sum(axis=1)[down])


def directions(rig: Rig, rest: Rest, which: int) -> tuple[Floats, Floats]:
    """Unit vectors, above to below, of `rig.springs[which]` at rest [spans, springs] each."""
    s, pose = rig.springs[which], rest.pose
    ends = (pose[:-1], pose[1:]) if which == 0 else (np.zeros((1, 3)), pose[:1])
    (x1, y1), (x2, y2) = (_moved(s, at, end) for end, at in enumerate(ends))
    dx, dy = s.dx + x2 - x1, s.dy + y2 - y1
    long = np.hypot(dx, dy)
    return dx / long, dy / long


def _moved(s: Springs, at: Floats, end: int) -> tuple[Floats, Floats]:
    x, y = (s.above_x, s.above_y) if end == 0 else (s.below_x, s.below_y)
    c, n = np.cos(at[:, 2])[:, None] - 1, np.sin(at[:, 2])[:, None]
    return at[:, :1] + c * x - n * y[:, None], at[:, 1:2] + n * x + c * y[:, None]

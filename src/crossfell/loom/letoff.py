"""When does a weight run out of drop, and where is it let off in the fewest trips?

Every span and its band draw warp forward, each unit by its own path, and its weight rises by as
much. Before a weight reaches the top of its travel its bobbin is let off and the weight hung low
again. A trip for that costs least where she stands behind the loom anyway: in a span in which
something moves, once its height is drawn forward and weights are off; what its crossings and its
band take comes after. Source: derived; least by dynamic programming.
Checked: tests/loom/test_letoff.py, against every set of trips on small cases.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from crossfell.order.model import Floats


@dataclass(frozen=True, kw_only=True)
class Trip:
    """One let-off, in a span, when its height has been drawn forward."""

    span: int  # number, from 1
    extra: bool  # nothing else takes her behind the loom in this span
    units: tuple[int, ...]  # units that would not reach the next trip


@dataclass(frozen=True, kw_only=True)
class LetOff:
    """Travel of the weights over the piece."""

    drawn_mm: Floats  # [spans, units] warp drawn forward by each span and its band
    runs_out: tuple[int | None, ...]  # [units] span in which its first drop ends; None: never
    trips: tuple[Trip, ...]
    too_long: tuple[int, ...]  # spans (number) that alone take more than the drop


def let_off(drawn_mm: Floats, heights_mm: Floats, drop_mm: float, moving: Sequence[bool]) -> LetOff:
    """Plan the let-offs; `drawn_mm` is [spans, units], `heights_mm` and `moving` [spans].

    Fewest extra walks first, then fewest trips, then as late as can be. Where more than the drop
    is drawn between one span's let-off and the next's, the span is named; as much is let off by
    hand on the way.
    """
    into = np.cumsum(drawn_mm, axis=0)
    steps = np.diff(
        np.vstack((0 * into[:1], into - drawn_mm + heights_mm[:, None], into[-1:])), axis=0
    )
    too_long = np.flatnonzero(steps.max(axis=1, initial=0.0) > drop_mm + 1e-9)
    used = np.vstack((np.zeros(steps.shape[1]), np.cumsum(np.minimum(steps, drop_mm), axis=0)))
    at = _fewest(used, drop_mm, moving)
    out = [np.flatnonzero(unit > drop_mm + 1e-9) for unit in into.T]
    return LetOff(
        drawn_mm=drawn_mm,
        runs_out=tuple(int(rows[0]) + 1 if len(rows) else None for rows in out),
        trips=_trips(used, drop_mm, at, moving),
        too_long=tuple(_longer(int(k), drawn_mm, heights_mm) for k in too_long),
    )


def _longer(step: int, drawn: Floats, heights: Floats) -> int:
    """Number of the span that has the greater part of a step: a rest, and the next height."""
    rest = float((drawn[step - 1] - heights[step - 1]).max()) if step else 0.0
    height = float(heights[step]) if step < len(heights) else 0.0
    return step + 1 if height >= rest else step


def _fewest(used: Floats, drop: float, moving: Sequence[bool]) -> list[int]:
    """Numbers of the spans in which bobbins are let off: a shortest way through the spans.

    `used` [spans + 2, units]: warp drawn at the start, at each span's let-off, at the end.
    """
    end = len(used) - 1
    cost = [(0, 0)] + [(end, end)] * end
    before = [0] * (end + 1)
    for start in range(end):
        for stop in range(start + 1, end + 1):
            if (used[stop] - used[start]).max(initial=0.0) > drop + 1e-9:
                break
            trip = (0, 0) if stop == end else (int(not moving[stop - 1]), 1)
            new = (cost[start][0] + trip[0], cost[start][1] + trip[1])
            if new <= cost[stop]:
                cost[stop], before[stop] = new, start
    way, here = [], before[end]
    while here:
        way.append(here)
        here = before[here]
    return way[::-1]


def _trips(
    used: Floats, drop: float, at: Sequence[int], moving: Sequence[bool]
) -> tuple[Trip, ...]:
    hung = np.zeros(used.shape[1])  # warp drawn when each weight was last hung low
    trips = []
    for here, following in pairwise([*at, len(used) - 1]):
        low = used[following] - hung > drop + 1e-9
        hung = np.where(low, used[here], hung)
        units = tuple(int(u) for u in np.flatnonzero(low))
        trips.append(Trip(span=here, extra=not moving[here - 1], units=units))
    return tuple(trips)

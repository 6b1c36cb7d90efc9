"""When does a weight run out of drop, and where is it let off in the fewest trips?

Every span and its band draw warp forward, each unit by its own path, and its weight rises by as
much. Before a weight reaches the top of its travel its bobbin is let off and the weight hung low
again. A trip for that costs least where she stands behind the loom anyway: in a span in which
something moves, whose weights come off. Source: derived; least by dynamic programming.
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
    """One let-off, before the weaving of a span's band."""

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


def let_off(drawn_mm: Floats, drop_mm: float, moving: Sequence[bool]) -> LetOff:
    """Plan the let-offs; `drawn_mm` is [spans, units], `moving` [spans] whether something moves.

    Fewest extra walks first, then fewest trips, then as late as can be. A span that alone takes
    more than the drop is let off within itself, and named.
    """
    units = drawn_mm.shape[1]
    too_long = np.flatnonzero(drawn_mm.max(axis=1, initial=0.0) > drop_mm)
    capped = np.minimum(drawn_mm, drop_mm)
    used = np.concatenate((np.zeros((1, units)), np.cumsum(capped, axis=0)))
    out = [np.flatnonzero(used[1:, u] > drop_mm + 1e-9) for u in range(units)]
    at = _fewest(used, drop_mm, moving)
    return LetOff(
        drawn_mm=drawn_mm,
        runs_out=tuple(int(rows[0]) + 1 if len(rows) else None for rows in out),
        trips=_trips(used, drop_mm, at, moving),
        too_long=tuple(int(k) + 1 for k in too_long),
    )


def _fewest(used: Floats, drop: float, moving: Sequence[bool]) -> list[int]:
    """Spans (index) before whose band is let off: a shortest way through the spans."""
    spans = len(used) - 1
    cost = [(0, 0)] + [(spans + 1, spans + 1)] * spans
    before = [0] * (spans + 1)
    for start in range(spans + 1):
        for end in range(start + 1, spans + 1):
            if (used[end] - used[start]).max(initial=0.0) > drop + 1e-9:
                break
            trip = (0, 0) if end == spans else (int(not moving[end]), 1)
            new = (cost[start][0] + trip[0], cost[start][1] + trip[1])
            if new <= cost[end]:
                cost[end], before[end] = new, start
    way, here = [], before[spans]
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
        trips.append(Trip(span=here + 1, extra=not moving[here], units=units))
    return tuple(trips)

"""What do her own times say about the steps to come?

For each kind of step the middle one of her times, which no forgotten tick can spoil, with the
range that half of them fall in; and from how many. Below three, the usual minutes stand.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from crossfell.plan.minutes import HIGH, LOW
from crossfell.plan.model import Step, Times
from crossfell.plan.own_minutes import usual_minutes
from crossfell.record.hours import Worked

FEWEST = 3


@dataclass(frozen=True, kw_only=True)
class Learned:
    """Minutes of one of a kind: one pick, one strip, one window."""

    kind: str
    low: float  # a quarter of her times are shorter
    likely: float  # the middle one
    high: float  # a quarter are longer
    steps: int  # from how many


def learned_from(rows: Iterable[Worked]) -> dict[str, Learned]:
    """What the measured steps say, by kind; walks between front and back taken off."""
    walk = usual_minutes()["walk"]
    samples: dict[str, list[float]] = {}
    side = ""
    for row in rows:
        walked = {side, row.step.side} == {"front", "back"}
        side = row.step.side
        if row.measured and not row.undone and row.step.count > 0:
            minutes = max(row.minutes - (walk if walked else 0.0), 0.0)
            samples.setdefault(row.step.kind, []).append(minutes / row.step.count)
    return {kind: _learned(kind, s) for kind, s in samples.items() if len(s) >= FEWEST}


def times_with(
    steps: Sequence[Step], learned: Mapping[str, Learned], *, side: str = ""
) -> tuple[Times, int]:
    """Minutes of work of these steps, and how many of them rest on her own times.

    `side` is where she stands before the first of them.
    """
    walk = usual_minutes()["walk"]
    low = likely = high = 0.0
    own = 0
    for step in steps:
        mine = learned.get(step.kind)
        walked = walk if {side, step.side} == {"front", "back"} else 0.0
        side = step.side
        if mine is None:
            low, likely, high = (
                low + LOW * step.minutes,
                likely + step.minutes,
                high + HIGH * step.minutes,
            )
            continue
        own += 1
        low += mine.low * step.count + walked
        likely += mine.likely * step.count + walked
        high += mine.high * step.count + walked
    return Times(low=low, likely=likely, high=high), own


def _learned(kind: str, samples: Sequence[float]) -> Learned:
    """Median and quartiles. Source: method 7 of Hyndman and Fan (1996), Python's "inclusive"."""
    low, likely, high = statistics.quantiles(samples, n=4, method="inclusive")
    return Learned(kind=kind, low=low, likely=likely, high=high, steps=len(samples))

"""Where do most units lie over each other, and how thick is the pile?

Units are ribbons of their own width along their chords. A pile of several ribbons has its corners
among the corners of the fields that two of them share, so the middle and, just inside, the four
corners of each such field are looked at (slivers thinner than a fiftieth are left out).
Source: derived. Checked: tests/paths/test_piles.py, against a fine grid.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.order.model import Floats, Ints
from crossfell.paths.meetings import Meetings

INSIDE = 0.98  # of the way from the middle of the shared field to its corner
CORNERS = ((1, 1), (1, -1), (-1, 1), (-1, -1))
AT_ONCE = 50_000  # points looked at in one go
MANY_MEET = 0.1  # share of the units that one meets, from which all are looked at; measured
MOST_CELLS = 1_000_000  # points × units at a time
Spot = tuple[int, float, float]  # units that lie there, x (mm), share of the height


def piles_of(
    meetings: Meetings, x_mm: Floats, width_mm: Floats, thick_mm: Floats
) -> tuple[Floats, tuple[Spot | None, ...]]:
    """Thickest pile [spans] (mm), and where; None where nobody meets.

    `x_mm` [bands, units]; `width_mm` [units], which is what a level cut shows at any lean;
    `thick_mm` [spans, units]. Interlaced spans are looked at along their chords.
    """
    thickest = np.zeros(len(thick_mm))
    spots: list[Spot | None] = [None] * len(thick_mm)
    point = _looked_at(meetings, x_mm, width_mm / 2)
    met = _Met(meetings, len(width_mm))
    for start in range(0, len(point.span), AT_ONCE):
        part = point.part(slice(start, start + AT_ONCE))
        pile, count = _piled(part, met, x_mm, width_mm, thick_mm)
        order = np.argsort(-pile, kind="stable")
        for which in order[np.unique(part.span[order], return_index=True)[1]].tolist():
            k = int(part.span[which])
            if pile[which] > thickest[k]:
                thickest[k] = pile[which]
                spots[k] = (int(count[which]), float(part.x[which]), float(part.at[which]))
    alone = np.max(thick_mm, axis=1, initial=0.0)
    return np.maximum(thickest, alone), tuple(spots)


@dataclass(frozen=True)
class _Points:
    """Spots to look at: span, a unit that lies there, height (share), x (mm)."""

    span: Ints
    unit: Ints
    at: Floats
    x: Floats

    def part(self, which: slice) -> _Points:
        return _Points(self.span[which], self.unit[which], self.at[which], self.x[which])


class _Met:
    """Whom each unit meets in each span."""

    def __init__(self, meetings: Meetings, units: int) -> None:
        line = np.concatenate((meetings.over, meetings.under)) + units * np.tile(meetings.span, 2)
        other = np.concatenate((meetings.under, meetings.over))
        order = np.argsort(line, kind="stable")
        lines = units * len(meetings.bends)
        self.units, self.other = units, other[order]
        self.first = np.searchsorted(line[order], np.arange(lines + 1))

    def is_dense(self, span: Ints, unit: Ints) -> bool:
        """Whether these meet so many that to look at every unit takes no longer."""
        line = span * self.units + unit
        meets = (self.first[line + 1] - self.first[line]).sum()
        return bool(meets > MANY_MEET * len(line) * self.units)

    def table(self, span: int) -> NDArray[np.bool_]:
        """[units, units] who meets whom in a span (index from 0)."""
        table = np.zeros((self.units, self.units), dtype=np.bool_)
        first = self.first[span * self.units : (span + 1) * self.units + 1]
        unit = np.repeat(np.arange(self.units), np.diff(first))
        table[unit, self.other[first[0] : first[-1]]] = True
        return table

    def of(self, span: Ints, unit: Ints) -> tuple[Ints, Ints]:
        """For all (span, unit) one after another: which of them, and a unit that it meets."""
        line = span * self.units + unit
        count = self.first[line + 1] - self.first[line]
        which = np.repeat(np.arange(len(line)), count)
        step = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
        return which, self.other[self.first[line][which] + step]


def _piled(
    point: _Points, met: _Met, x_mm: Floats, width_mm: Floats, thick_mm: Floats
) -> tuple[Floats, Ints]:
    """Thickness and number of units at each point: the unit there, and those it meets.

    Units that lie apart at both bands and do not change sides lie apart all the way.
    """
    if met.is_dense(point.span, point.unit):
        return _piled_densely(point, met, x_mm, width_mm, thick_mm)
    which, other = met.of(point.span, point.unit)
    k, at = point.span[which], point.at[which]
    line = (1 - at) * x_mm[k, other] + at * x_mm[k + 1, other]
    there = np.abs(line - point.x[which]) < width_mm[other] / 2
    which, other = which[there], other[there]
    size = len(point.span)
    more = np.bincount(which, thick_mm[point.span[which], other], minlength=size)
    own = thick_mm[point.span, point.unit]
    return own + more, 1 + np.bincount(which, minlength=size)


def _piled_densely(
    point: _Points, met: _Met, x_mm: Floats, width_mm: Floats, thick_mm: Floats
) -> tuple[Floats, Ints]:
    """The same where nearly all units meet: every unit at every point, a few points at a time."""
    pile, count = np.empty(len(point.span)), np.empty(len(point.span), dtype=np.int64)
    few = max(MOST_CELLS // len(width_mm), 1)
    for k in np.unique(point.span).tolist():
        meets = met.table(k)
        here = np.flatnonzero(point.span == k)
        for start in range(0, len(here), few):
            some = here[start : start + few]
            line = np.multiply.outer(point.at[some], x_mm[k + 1] - x_mm[k])
            line += x_mm[k] - point.x[some, None]
            there = (np.abs(line, out=line) < width_mm / 2) & meets[point.unit[some]]
            pile[some] = thick_mm[k, point.unit[some]] + there @ thick_mm[k]
            count[some] = 1 + there.sum(axis=1)
    return pile, count


def _looked_at(meetings: Meetings, x_mm: Floats, half: Floats) -> _Points:
    """The middle and the inner corners of each field that two ribbons share."""
    k, a, b = meetings.span, meetings.over, meetings.under
    start = x_mm[k, a] - x_mm[k, b]
    apart = x_mm[k + 1, a] - x_mm[k + 1, b] - start
    real = start * (start + apart) < 0
    k, a, b, start, apart = k[real], a[real], b[real], start[real], apart[real]
    at = -start / apart
    below, way = x_mm[k, a], x_mm[k + 1, a] - x_mm[k, a]
    heights, places = [at], [below + at * way]
    for sign_a, sign_b in CORNERS:
        # x_a(s) + sign_a half_a = x_b(s) + sign_b half_b
        corner_at = at + (sign_b * half[b] - sign_a * half[a]) / apart
        corner_at = np.minimum(np.maximum(corner_at, 0.0), 1.0)
        heights.append(at + INSIDE * (corner_at - at))
        places.append(below + heights[-1] * way + INSIDE * sign_a * half[a])
    return _Points(np.tile(k, 5), np.tile(a, 5), np.concatenate(heights), np.concatenate(places))

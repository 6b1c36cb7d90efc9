"""Which places does a picture show, and where, so that its letters stay large?

A picture has room for about ten columns. What is far away is left out; a long way across is shown
by both its ends, with the number of places left out between them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from crossfell.base.frame import Frame

COLUMN = 20.0  # mm
GAP = 16.0
MARGIN = 26.0  # room for a word at the left
RIGHT = 4.0
MOST = 10


@dataclass(frozen=True, kw_only=True)
class Columns:
    """Places shown, from the weaver's left, and for which side they are drawn."""

    shown: tuple[int, ...]
    frame: Frame  # of who stands in front of the loom, or behind it
    width: float  # of the picture, mm
    margin: float = MARGIN

    def x(self, place: int) -> float:
        """Middle of a place (mm); of one that is left out, where it would be in its gap."""
        left = self.margin + COLUMN / 2
        seen = self.frame.row(self.shown)
        at = left
        for i, here in enumerate(seen):
            if here == place:
                return at
            if i + 1 < len(seen):
                step = _step(here, seen[i + 1])
                low, high = sorted((here, seen[i + 1]))
                if low < place < high:
                    return at + step * abs(place - here) / (high - low)
                at += step
        first, last = seen[0], seen[-1]
        beyond_right = self.frame.place(place) > self.frame.place(last)
        return (
            at + COLUMN * abs(place - last) if beyond_right else left - COLUMN * abs(place - first)
        )

    def counted(self, place: int) -> int:
        """A place as she counts it."""
        return self.frame.place(place)

    @property
    def gaps(self) -> tuple[tuple[float, int], ...]:
        """Middle of each gap (mm), and how many places it leaves out."""
        return tuple(
            ((self.x(a) + self.x(b)) / 2, b - a - 1) for a, b in pairwise(self.shown) if b - a > 1
        )


def columns_for(touched: Iterable[int], frame: Frame) -> Columns:
    """Columns that show every place touched, if they can, and what lies beside them."""
    places = _shown(sorted(set(touched)), frame.places)
    wide = sum(_step(a, b) for a, b in pairwise(places)) + COLUMN + MARGIN + RIGHT
    return Columns(shown=tuple(places), frame=frame, width=wide)


def _shown(touched: list[int], count: int) -> list[int]:
    """All from the first to the last; else what is touched and its neighbours; else both ends."""
    whole = list(range(max(1, touched[0] - 1), min(count, touched[-1] + 1) + 1))
    if len(whole) <= MOST:
        return whole
    near = {place + by for place in touched for by in (-1, 0, 1)}
    for some in (sorted(near & set(whole)), touched):
        if len(some) <= MOST + 2:
            return some
    half = MOST // 2
    return whole[:half] + whole[-half:]


def _step(one: int, other: int) -> float:
    return COLUMN if abs(one - other) == 1 else COLUMN + GAP

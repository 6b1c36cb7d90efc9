"""What is known about a draft before any length: who lies where, and who passes over whom?

Frame: the loom's, x to the right from the weaver's seat; "over" is towards the viewer. Units are
numbered 0..n-1 in the order of `draft.units`. Generators count the units present from the left
(an empty place has no strand): +i when the i-th unit from the left passes over the (i+1)-th.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.base.notes import Note, Where

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class SpanOrder:
    """The order kernel's view of one span."""

    number: int
    word: tuple[int, ...]  # signed generators, in the order that the moves make them
    over: Ints  # [crossings] unit on top, parallel to `word`
    under: Ints  # [crossings] unit below
    move: Ints  # [crossings] index into the span's moves
    half_turns: Ints  # [units] signed sum; right is +1 (Z), left is -1 (S)
    layers: tuple[tuple[int, ...], ...] | None  # back to front; None when interlaced
    cycle: tuple[int, ...] | None  # a shortest cycle, each over the next, the last over the first
    lifted: int  # least number of units to lift out
    passes: tuple[tuple[int, ...], ...]  # crossings (indices into word) of each layable pass
    passes_least: int = 0  # no split has fewer passes
    twice: tuple[int, ...] = ()  # units that are laid in two goes when it is interlaced
    twice_least: int = 0  # no fewer will do
    where: Where

    @property
    def layable(self) -> bool:
        """Whether each unit can be laid once, back to front."""
        return self.layers is not None


@dataclass(frozen=True, kw_only=True)
class Joint:
    """Two neighbours at a band whose touching edge dents are alike: a doubled thread."""

    band: int  # number of the band, from 1
    left: int  # unit
    right: int  # unit
    dent: str  # "hole" or "slot"


@dataclass(frozen=True, kw_only=True)
class Order:
    """Arrangement and faces at every band, and what each span does."""

    names: tuple[str, ...]  # [units]
    place: Ints  # [bands, units] place, from 1
    offset_mm: Floats  # [bands, units] from the centre of that place
    face: Ints  # [bands, units] 1 forward, -1 back
    spans: tuple[SpanOrder, ...]
    joints: tuple[Joint, ...]
    notes: tuple[Note, ...]

    def by_place(self, band: int, place_count: int) -> tuple[int | None, ...]:
        """Units from the left at a band (index from 0); None where a place is empty."""
        row: list[int | None] = [None] * place_count
        for unit, place in enumerate(self.place[band]):
            if 1 <= place <= place_count:
                row[int(place) - 1] = unit
        return tuple(row)

"""What is known about a draft before any length: who lies where, and who passes over whom?

Frame: the loom's, x to the right from the weaver's seat; "over" is towards the viewer. Units are
numbered 0..n-1 in the order of `draft.units`. Generators count the units present from the left
(an empty place has no strand): +i when the i-th unit from the left passes over the (i+1)-th.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from crossfell.base.notes import Note, Where

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Name = tuple[int, bytes, tuple[object, ...]]


@dataclass(frozen=True, kw_only=True)
class Shape:
    """What a word does to any row of units; they are ranks here, from 0 at the left before it."""

    units: int  # how many
    word: tuple[int, ...]  # signed generators, in the order that the moves make them
    over: Ints  # [crossings] unit on top, parallel to `word`
    under: Ints  # [crossings] unit below
    layers: tuple[tuple[int, ...], ...] | None  # back to front; None when interlaced
    cycle: tuple[int, ...] | None  # a shortest cycle, each over the next, the last over the first
    lifted: int  # least number of units to lift out
    passes: tuple[tuple[int, ...], ...]  # crossings (indices into word) of each layable pass
    passes_least: int  # no split has fewer passes
    twice: tuple[int, ...]  # units that are laid in two goes when it is interlaced
    twice_least: int  # no fewer will do
    undone: tuple[tuple[int, int], ...]  # crossings (indices into word) that undo each other


@dataclass(frozen=True, kw_only=True)
class Made:
    """What moves do to any row of units in these places; they are ranks, as in `Shape`."""

    name: Name  # the moves and the places: what all this follows from, without slides and notes
    shape: Shape
    move: Ints  # [crossings] index into the span's moves
    place: Ints  # [units] place afterwards
    half_turns: Ints  # [units] signed sum; right is +1 (Z), left is -1 (S)
    mirrored: Ints  # [units] -1 where an offset from the middle of the place changes sides
    slid_mm: Floats | None  # [units] offset afterwards, where a move slides by a length
    notes: tuple[Note, ...]


@dataclass(frozen=True, kw_only=True)
class SpanOrder:
    """The order kernel's view of one span."""

    number: int
    made: Made
    row: Ints  # [units] units from the left before the span
    over: Ints  # [crossings] unit on top, parallel to `word`
    under: Ints  # [crossings] unit below
    half_turns: Ints  # [units] signed sum; right is +1 (Z), left is -1 (S)
    where: Where

    @property
    def shape(self) -> Shape:
        """What its word does."""
        return self.made.shape

    @property
    def move(self) -> Ints:
        """[crossings] index into the span's moves."""
        return self.made.move

    @property
    def word(self) -> tuple[int, ...]:
        """Signed generators, in the order that the moves make them."""
        return self.shape.word

    @cached_property
    def layers(self) -> tuple[tuple[int, ...], ...] | None:
        """Units back to front; None when interlaced."""
        if self.shape.layers is None:
            return None
        row = self.row.tolist()
        return tuple(tuple(sorted([row[rank] for rank in layer])) for layer in self.shape.layers)

    @cached_property
    def cycle(self) -> tuple[int, ...] | None:
        """A shortest cycle of units, each over the next, the last over the first."""
        cycle = self.shape.cycle
        return None if cycle is None else tuple(self.row[list(cycle)].tolist())

    @cached_property
    def twice(self) -> tuple[int, ...]:
        """Units that are laid in two goes when it is interlaced."""
        return tuple(sorted(self.row[list(self.shape.twice)].tolist()))

    @property
    def twice_least(self) -> int:
        """No fewer units laid in two goes will do."""
        return self.shape.twice_least

    @property
    def lifted(self) -> int:
        """Least number of units to lift out."""
        return self.shape.lifted

    @property
    def passes(self) -> tuple[tuple[int, ...], ...]:
        """Crossings (indices into word) of each layable pass."""
        return self.shape.passes

    @property
    def passes_least(self) -> int:
        """No split has fewer passes."""
        return self.shape.passes_least

    @property
    def layable(self) -> bool:
        """Whether each unit can be laid once, back to front."""
        return self.shape.layers is not None


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

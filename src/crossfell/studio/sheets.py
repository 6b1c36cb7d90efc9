"""Which slices does a window show and not have yet, and what do they lay?

A window says what it sees (mm of the picture, y down), the keys of the sheets that it has, and how
many stencils it knows of which set. All that it lacks goes along with the answer to a hand.
"""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from crossfell.drawings.slices import Slice, ground_of
from crossfell.drawings.stencils import Stencils
from crossfell.piece import Piece

Told = dict[str, Any]
MOST_SETS = 4
MOST_STENCILS = 800  # then a new set is begun: a new window is told no more than these
MOST_SHEETS = 300


@dataclass(frozen=True, slots=True)
class Seen:
    """What a window sees and has."""

    low: float
    high: float
    have: frozenset[str]
    stencils: str  # name of the set that it knows
    known: int  # how many of it
    waits: str = ""  # key of a sheet that it waits for


class Sheets:
    """The stencils and sheets of one open draft. Not to be used by two threads at once."""

    def __init__(self) -> None:
        self._sets: dict[str, tuple[str, Stencils]] = {}  # by ground: name and stencils

    def lacking(
        self, piece: Piece, look: tuple[str, str], slices: Sequence[Slice], seen: Seen
    ) -> Told:
        """The set's name, stencils from the number `first` on, and sheets by their keys."""
        name, stencils = self._set(ground_of(piece, *look))
        near = [part for part in slices if part.top + part.height > seen.low]
        wanted = [part for part in near if part.top < seen.high and part.key not in seen.have]
        sheets = {part.key: stencils.sheet(piece, *look, part.number, part.key) for part in wanted}
        stencils.forget(MOST_SHEETS)
        first = min(seen.known, len(stencils)) if seen.stencils == name else 0
        return {"set": name, "first": first, "stencils": stencils.told[first:] if sheets else [],
                "sheets": sheets}  # fmt: skip

    def _set(self, ground: str) -> tuple[str, Stencils]:
        name, stencils = self._sets.pop(ground, ("", Stencils()))
        if not name or len(stencils) > MOST_STENCILS:
            name, stencils = secrets.token_hex(6), Stencils()
        self._sets[ground] = (name, stencils)
        while len(self._sets) > MOST_SETS:
            del self._sets[next(iter(self._sets))]
        return name, stencils

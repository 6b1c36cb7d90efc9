"""What do all moves come down to, and how is each of these laid elsewhere, and undone?

Crossings, turns, rolls and shifts are made at the loom; every other move of the language is
written with them (`kinds.py`). So nothing but these four knows how it is mirrored in its places,
exchanged over for under, or taken back.
Checked: tests/draft/test_kinds.py (a move and what undoes it are nothing, as a framed braid).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple, Self

from crossfell.base.notes import NOWHERE, Where


class Placing(NamedTuple):
    """Where moves are laid anew: `by` places further right, mirrored in so many places."""

    by: int = 0
    mirrored_in: int = 0  # 0: not mirrored
    exchanged: bool = False  # over for under, and the sides of turns

    @property
    def turned(self) -> bool:
        """Whether turns go to the other side, and the left block of a crossing lies the other way.

        Mirrored: the left block becomes the right one (docs/decisions/0003).
        """
        return bool(self.mirrored_in) != self.exchanged


@dataclass(frozen=True, kw_only=True)
class PlainMove:
    """A move of the units in places first to last."""

    first: int
    last: int
    where: Where = NOWHERE
    figure: str = ""  # name of the figure that it came from

    @cached_property
    def does(self) -> tuple[object, ...]:
        """What it does, wherever it is written."""
        return (type(self), self.first, self.last, *self._own().values())

    def laid(self, at: Placing, where: Where, figure: str = "") -> Self:
        """The same move laid elsewhere; it points at what laid it."""
        first, last = self.first + at.by, self.last + at.by
        if at.mirrored_in:
            ends = 1 + at.mirrored_in + 2 * at.by
            first, last = ends - last, ends - first
        figure = figure or self.figure
        return self._like(first=first, last=last, where=where, figure=figure, **self._laid(at))

    def lower(self, by: int) -> Self:
        """The same move written so many lines further down."""
        at = self.where
        return self._like(where=Where(at.file, at.line + by, at.column, at.length))

    def undone(self) -> Self:
        """The move that takes this one back."""
        raise NotImplementedError

    def _own(self) -> dict[str, Any]:
        """What it says beside its places."""
        raise NotImplementedError

    def _laid(self, at: Placing) -> dict[str, Any]:
        raise NotImplementedError

    def _like(self, **changes: Any) -> Self:
        """The move with changes; `replace` takes many times as long, and there are thousands."""
        made = object.__new__(type(self))
        made.__dict__.update(self.__dict__, **changes)
        made.__dict__.pop("does", None)
        return made


@dataclass(frozen=True, kw_only=True)
class Cross(PlainMove):
    """Block [first, middle) and block [middle, last] of places change sides.

    `left_over` says that the block on the left passes over the one on the right.
    """

    middle: int  # first place of the right-hand block
    left_over: bool

    def _own(self) -> dict[str, Any]:
        return {"middle": self.middle, "left_over": self.left_over}

    def _laid(self, at: Placing) -> dict[str, Any]:
        middle = self.middle + at.by
        if at.mirrored_in:
            middle = at.mirrored_in + 2 * (at.by + 1) - middle
        return {"middle": middle, "left_over": self.left_over != at.turned}

    def undone(self) -> Self:
        """The same block back, over or under as it went."""
        middle = self.first + self.last - self.middle + 1
        return self._like(middle=middle, left_over=not self.left_over)


@dataclass(frozen=True, kw_only=True)
class _Turning(PlainMove):
    """Half turns; right is +1, left is -1 for each."""

    half_turns: int

    def _own(self) -> dict[str, Any]:
        return {"half_turns": self.half_turns}

    def _laid(self, at: Placing) -> dict[str, Any]:
        return {"half_turns": -self.half_turns if at.turned else self.half_turns}

    def undone(self) -> Self:
        """The same turns to the other side."""
        return self._like(half_turns=-self.half_turns)


@dataclass(frozen=True, kw_only=True)
class Turn(_Turning):
    """Half turns of each unit in places first to last."""


@dataclass(frozen=True, kw_only=True)
class Roll(_Turning):
    """The block first to last turned over as one."""


@dataclass(frozen=True, kw_only=True)
class Shift(PlainMove):
    """Units in places first to last move sideways, right positive, by places and by a length."""

    places: int = 0
    length_mm: float = 0.0

    def _own(self) -> dict[str, Any]:
        return {"places": self.places, "length_mm": self.length_mm}

    def _laid(self, at: Placing) -> dict[str, Any]:
        sign = -1 if at.mirrored_in else 1
        return {"places": sign * self.places, "length_mm": sign * self.length_mm}

    def undone(self) -> Self:
        """As far to the other side, from where the units are then."""
        back = {"places": -self.places, "length_mm": -self.length_mm}
        return self._like(first=self.first + self.places, last=self.last + self.places, **back)


Move = Cross | Turn | Roll | Shift

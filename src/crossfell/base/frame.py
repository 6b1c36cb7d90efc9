"""What is left, right, up and in front for who looks at the loom, or at the hung piece?

Everything is kept in the frame of the loom, as seen from the weaver's seat: x to the right, y the
way that the weaving goes, places from 1 at the left, faces and what lies over towards her. Who
looks from elsewhere sees it changed by three signs:

    at the loom             as it is
    behind the loom         left and right change (over stays over: docs/decisions/0009)
    the wall, front         as it is; half round in its plane when woven from the top
                            (docs/decisions/0001)
    the wall, from behind   that, and left and right, front and back change

Each change undone is the same change, so a frame turns what is kept into what is seen, and back.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Item = TypeVar("Item")
Number = TypeVar("Number", float, "NDArray[np.float64]")
Amount = TypeVar("Amount", int, float, "NDArray[np.float64]")
Sign = TypeVar("Sign", int, "NDArray[np.int64]")


@dataclass(frozen=True, slots=True)
class Frame:
    """How somebody sees what is kept in the loom's frame: -1 where it is turned round."""

    places: int = 0
    across: int = 1  # left and right
    up: int = 1  # which end is upper: 1 when bands rise in weaving order
    deep: int = 1  # front and back, over and under

    def place(self, place: int) -> int:
        """A place as who looks counts it, from 1 at her left."""
        return place if self.across > 0 else self.places + 1 - place

    def block(self, first: int, last: int) -> tuple[int, int]:
        """First and last place of a block, from her left."""
        one, other = self.place(first), self.place(last)
        return (one, other) if one <= other else (other, one)

    def row(self, items: Sequence[Item]) -> Sequence[Item]:
        """What is kept from the weaver's left, from the left of who looks."""
        return items[:: self.across]

    def x(self, x: Number, width: float) -> Number:
        """Distance from the left edge of what is `width` wide."""
        return x if self.across > 0 else width - x

    def y(self, y: Number, height: float) -> Number:
        """Distance from the lower edge of what is `height` high."""
        return y if self.up > 0 else height - y

    def down(self, y: Number, height: float) -> Number:
        """Distance from the upper edge of what is `height` high."""
        return height - y if self.up > 0 else y

    def side(self, by: Amount) -> Amount:
        """A way or distance aside, right positive."""
        return by * self.across

    def turn(self, half_turns: int) -> int:
        """Half turns, right (and Z twist) positive: only a mirror changes them."""
        return half_turns * self.across * self.up * self.deep

    def over(self, sign: int) -> int:
        """1 when what passes over (1) or under (-1) is nearer to who looks."""
        return sign * self.deep

    def face(self, face: int) -> int:
        """1 when she sees the face of a unit, -1 when its back."""
        return face * self.deep

    def ends(self, face: Sign) -> Sign:
        """1 when the ends of a unit with this face lie from her left to her right, else -1."""
        return face * self.across

    @property
    def downwards(self) -> slice:
        """Of bands or spans in weaving order: from the uppermost down; and back again."""
        return slice(None, None, -self.up)

    @property
    def top(self) -> int:
        """Index of the uppermost band."""
        return -1 if self.up > 0 else 0

    @property
    def foot(self) -> int:
        """Index of the lowest band."""
        return -1 - self.top

    def below(self, span: int) -> int:
        """Index of the band below a span (index from 0)."""
        return span if self.up > 0 else span + 1

    def above(self, span: int) -> int:
        """Index of the band above a span (index from 0)."""
        return 2 * span + 1 - self.below(span)

    def then(self, other: Frame) -> Frame:
        """What another makes of what is seen in this one."""
        across, up, deep = self.across * other.across, self.up * other.up, self.deep * other.deep
        return Frame(self.places, across, up, deep)


HALF_ROUND = Frame(across=-1, up=-1)  # in its plane
FROM_BEHIND = Frame(across=-1, deep=-1)  # round an upright axis


def at_loom(places: int, *, behind: bool = False) -> Frame:
    """Who stands in front of the loom, or behind it."""
    return Frame(places, across=-1 if behind else 1)


def on_wall(places: int, woven_from: str, *, behind: bool = False) -> Frame:
    """Who looks at the hung piece from the front, or from behind; woven from "bottom" or "top"."""
    front = Frame(places) if woven_from == "bottom" else Frame(places).then(HALF_ROUND)
    return front.then(FROM_BEHIND) if behind else front

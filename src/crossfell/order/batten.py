"""What lies where while she works: the strips in the batten, and their bobbins behind the reed?

Two rows, to which the same things happen: units are lifted out above all others, or below them,
laid, slid, turned. Places count from 1 at the weaver's left, lengths are right of the middle of a
place; over is up, on both sides of the loom. The rehearsal of a plan does not use this: it has a
model of its own, for it checks (plan/loom_states.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from crossfell.order.model import Order


class CannotLie(Exception):  # noqa: N818 - it is a sentence, not a fault by itself
    """Units cannot be moved so; the sentence says why."""


@dataclass(frozen=True, kw_only=True)
class Lying:
    """A row as it is seen."""

    base: tuple[int | None, ...]  # [places] unit in each place before the first was lifted
    now: tuple[int | None, ...]  # [places] unit in each place; None where it is empty
    stack: tuple[int, ...]  # units in place, lowest first, as laid since `base`
    lifted: tuple[int, ...]  # units in her hands, or laid aside
    faces: tuple[int, ...]  # [units] 1 forward, -1 back


@dataclass(frozen=True, kw_only=True)
class CrossedWhenLaid:
    """Whom a unit crossed when it was laid."""

    others: tuple[int, ...]  # units in place that lie on its other side since it was lifted
    passed: tuple[tuple[int, int], ...]  # a unit that it passes, and the generator; in order


class Crossing(NamedTuple):
    """One unit passes over another."""

    over: int
    under: int
    letter: int  # as a generator


class Row:
    """Units from the left, in their places or held."""

    def __init__(
        self, places: Sequence[int], faces: Sequence[int], off_mm: Sequence[float], count: int
    ) -> None:
        self.count = count
        self.at = dict(enumerate(places))  # of units that are not held
        self.off_mm = list(off_mm)  # [units] right of the middle of their places
        self.face = list(faces)  # [units] 1 forward, -1 back
        self.held: dict[int, bool] = {}  # unit: whether it is held below all others
        self.ranks = sorted(self.at, key=lambda unit: (self.at[unit], self.off_mm[unit]))
        self.left_of: dict[int, frozenset[int]] = {}  # of those held: who lay left of it then
        self.base, self.stack = self.now, list(self.ranks)

    @property
    def now(self) -> tuple[int | None, ...]:
        """[places] unit in each place."""
        row: list[int | None] = [None] * self.count
        for unit, place in self.at.items():
            row[place - 1] = unit
        return tuple(row)

    @property
    def lying(self) -> Lying:
        """It as it stands now."""
        return Lying(
            base=self.base,
            now=self.now,
            stack=tuple(self.stack),
            lifted=tuple(self.held),
            faces=tuple(self.face),
        )

    def rest(self) -> None:
        """Begin anew: what lies where now is where the next moves start from."""
        if not self.held and self.base != self.now:
            self.base = self.now
            self.stack = [unit for unit in self.base if unit is not None]

    def lift(self, units: Iterable[int], *, below: bool) -> None:
        """Take units out, straight up or straight down: nothing crosses. Errors: CannotLie."""
        self.rest()
        for unit in units:
            if unit in self.held:
                raise CannotLie("it is already lifted")
            self.held[unit] = below
            self.left_of[unit] = frozenset(self.ranks[: self.ranks.index(unit)])
            del self.at[unit]
            self.stack.remove(unit)

    def slide(
        self, units: Sequence[int], places: Sequence[int], off_mm: Sequence[float] = ()
    ) -> None:
        """Move units along, all at once; nobody passes another in place. Errors: CannotLie."""
        if any(unit in self.held for unit in units):
            raise CannotLie("what is lifted cannot be moved along")
        self.rest()
        self.stand(units, places, off_mm)

    def lay(
        self, units: Sequence[int], places: Sequence[int], off_mm: Sequence[float] = ()
    ) -> list[CrossedWhenLaid]:
        """Lay held units in empty places, the foremost of a hand first. Errors: CannotLie."""
        self._stand(units, off_mm)
        pairs = list(zip(units, places, strict=True))
        right = self.ranks[self.ranks.index(units[-1]) + 1 :] if units[-1] in self.held else []
        ahead = any(self.at[unit] < places[0] for unit in right if unit in self.at)
        laid = {unit: self._lay(unit, place) for unit, place in (pairs[::-1] if ahead else pairs)}
        return [laid[unit] for unit in units]

    def carry(
        self, units: Sequence[int], passed: Iterable[tuple[bool, bool, int]]
    ) -> list[Crossing]:
        """Carry neighbours past others, one after another: over or under, to the right or left.

        `passed` are (over, to the right, unit). Where they then lie is for `stand` to say. Errors:
        CannotLie.
        """
        self.rest()
        made, over = [], True
        for over, right, other in passed:
            for unit in reversed(units) if right else units:
                i = self.ranks.index(unit)
                beside = i + 1 if right else i - 1
                if not 0 <= beside < len(self.ranks) or self.ranks[beside] != other:
                    raise CannotLie("somebody else lies beside it")
                self.ranks[i], self.ranks[beside] = other, unit
                pair = (unit, other) if over else (other, unit)
                made.append(Crossing(*pair, max(i, beside) * (1 if over == right else -1)))
        for unit in units:
            self.stack.remove(unit)
            self.stack.insert(len(self.stack) if over else 0, unit)
        return made

    def roll(self, units: Sequence[int], half_turns: int) -> list[Crossing]:
        """Turn neighbours over as one: their order reverses each time. Errors: CannotLie."""
        self.rest()
        start, many = self.ranks.index(units[0]), len(units)
        if self.ranks[start : start + many] != list(units):
            raise CannotLie("others lie between")
        made, sign = [], 1 if half_turns > 0 else -1
        for _ in range(abs(half_turns)):
            for width in range(many - 1, 0, -1):
                for i in range(start, start + width):
                    left, right = self.ranks[i : i + 2]
                    pair = (left, right) if sign > 0 else (right, left)
                    made.append(Crossing(*pair, sign * (i + 1)))
                    self.ranks[i : i + 2] = right, left
        self.turn(units, half_turns)
        return made

    def stand(
        self, units: Sequence[int], places: Sequence[int], off_mm: Sequence[float] = ()
    ) -> None:
        """Put units down where they have come to, all at once. Errors: CannotLie."""
        after = self.at | dict(zip(units, places, strict=True))
        row = [after[unit] for unit in self.ranks if unit in after]
        if any(left >= right for left, right in pairwise(row)) or not self._has(*places):
            raise CannotLie("it would lie on another, or on its wrong side, or leave the batten")
        self.at = after
        self._stand(units, off_mm)

    def turn(self, units: Iterable[int], half_turns: int) -> None:
        """Turn units about their own length."""
        for unit in units:
            self.face[unit] *= -1 if half_turns % 2 else 1

    def _lay(self, unit: int, place: int) -> CrossedWhenLaid:
        if unit not in self.held:
            raise CannotLie("it is not lifted")
        if place in self.at.values() or not self._has(place):
            raise CannotLie(f"place {place} is not empty")
        below = self.held.pop(unit)
        passed = tuple(self._passing(unit, place, below=below))
        left = self.left_of.pop(unit)
        others = [o for o, there in self.at.items() if (o in left) != (there < place)]
        others.sort(key=self.at.__getitem__)
        self.at[unit] = place
        self.stack.insert(0 if below else len(self.stack), unit)
        return CrossedWhenLaid(others=tuple(others), passed=passed)

    def _passing(self, unit: int, place: int, *, below: bool) -> Iterable[tuple[int, int]]:
        """Pass neighbours, held ones too, until it stands between those beside its place."""
        row, i = self.ranks, self.ranks.index(unit)
        places = [self.at.get(other, place) for other in row]
        left = max((k for k, there in enumerate(places) if there < place), default=0)
        right = min((k for k, there in enumerate(places) if there > place), default=len(row))
        way = 1 if left > i else -1
        for _ in range(max(left - i, i - right)):
            other = row[i + way]
            is_over = self.held.get(other, not below)  # held ones stay above all, or below
            yield other, max(i, i + way) * (1 if is_over == (way > 0) else -1)
            row[i], row[i + way] = other, unit
            i += way

    def _stand(self, units: Sequence[int], off_mm: Sequence[float]) -> None:
        for unit, off in zip(units, off_mm or [0.0] * len(units), strict=True):
            self.off_mm[unit] = off

    def _has(self, *places: int) -> bool:
        return all(1 <= place <= self.count for place in places)


@dataclass(frozen=True)
class Batten:
    """Both rows."""

    strips: Row
    bobbins: Row

    def row(self, *, behind: bool) -> Row:
        """Strips, or bobbins."""
        return self.bobbins if behind else self.strips

    def rest(self) -> None:
        """Nothing moves any more: begin anew in both rows."""
        self.strips.rest()
        self.bobbins.rest()


def batten_at(order: Order, band: int, place_count: int) -> Batten:
    """Strips and bobbins at a band (index from 0), before anything moves."""
    places, faces = order.place[band].tolist(), order.face[band].tolist()
    off_mm = order.offset_mm[band].tolist()
    strips, bobbins = (Row(places, faces, off_mm, place_count) for _ in range(2))
    return Batten(strips, bobbins)

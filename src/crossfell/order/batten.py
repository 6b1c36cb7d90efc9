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
class Passage:
    """Whom a unit crossed when it was laid."""

    others: tuple[int, ...]  # units in place that lie on its other side since `base`, from left
    passed: tuple[tuple[int, int], ...]  # a unit that it passes, and the generator; in order


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
        self.base, self.was, self.stack = self.now, dict(self.at), list(self.ranks)

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
        if not self.held and self.was != self.at:
            self.base, self.was = self.now, dict(self.at)
            self.stack = [unit for unit in self.base if unit is not None]

    def lift(self, units: Iterable[int], *, below: bool) -> None:
        """Take units out, straight up or straight down: nothing crosses. Errors: CannotLie."""
        self.rest()
        for unit in units:
            if unit in self.held:
                raise CannotLie("it is already lifted")
            self.held[unit] = below
            del self.at[unit]
            self.stack.remove(unit)

    def slide(
        self, units: Sequence[int], places: Sequence[int], off_mm: Sequence[float] = ()
    ) -> None:
        """Move units along, all at once; nobody passes another in place. Errors: CannotLie."""
        if any(unit in self.held for unit in units):
            raise CannotLie("what is lifted cannot be moved along")
        self.rest()
        after = {**self.at, **dict(zip(units, places, strict=True))}
        row = [after[unit] for unit in self.ranks if unit in after]
        if any(left >= right for left, right in pairwise(row)) or not self._has(*places):
            raise CannotLie("it would pass another, or lie on it, or leave the batten")
        self.at = after
        self._stand(units, off_mm)

    def lay(
        self, units: Sequence[int], places: Sequence[int], off_mm: Sequence[float] = ()
    ) -> list[Passage]:
        """Lay held units in empty places, one after another. Errors: CannotLie."""
        self._stand(units, off_mm)
        return [self._lay(unit, place) for unit, place in zip(units, places, strict=True)]

    def turn(self, units: Iterable[int], half_turns: int) -> None:
        """Turn units about their own length."""
        for unit in units:
            self.face[unit] *= -1 if half_turns % 2 else 1

    def _lay(self, unit: int, place: int) -> Passage:
        if unit not in self.held:
            raise CannotLie("it is not lifted")
        if place in self.at.values() or not self._has(place):
            raise CannotLie(f"place {place} is not empty")
        below = self.held.pop(unit)
        passed = tuple(self._passing(unit, place, below=below))
        others = [
            other
            for other, there in self.at.items()
            if (self.was[other] < self.was[unit]) != (there < place)
        ]
        others.sort(key=self.at.__getitem__)
        self.at[unit] = place
        self.stack.insert(0 if below else len(self.stack), unit)
        return Passage(others=tuple(others), passed=passed)

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

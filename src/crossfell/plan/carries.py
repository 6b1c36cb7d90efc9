"""Which strips are carried through the row in one go, and how?

A carry takes one hand out, passes it over some neighbours and under others, leg by leg, and puts
it down; nothing else leaves the row. It is how a unit goes round others and comes home, and how
crossings are made where nothing can hang aside. Source: derived; common practice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from crossfell.plan.model import Leg
from crossfell.plan.motions import Motion, What, in_one_go
from crossfell.plan.passing import passed_in_place
from crossfell.plan.stretch import Group, Stretch

Crossing = tuple[int, int]  # (over, under)
Place = Mapping[int, int]  # unit: place


def carried(
    passes: Sequence[Sequence[Crossing]], before: Place, after: Place, hand: int
) -> Motion | None:
    """The one carry that makes all these crossings, pass after pass, or None."""
    whom: dict[int, list[tuple[int, bool, int]]] = {}  # unit: pass, whether it is over, the other
    for number, crossings in enumerate(passes):
        for top, bottom in crossings:
            whom.setdefault(top, []).append((number, True, bottom))
            whom.setdefault(bottom, []).append((number, False, top))
    for unit in sorted(whom, key=before.__getitem__):
        together = _together(unit, whom, before, hand)
        if sum(map(len, passes)) == len(together) * len(whom[unit]):
            sides = {(number, other): over for number, over, other in whom[unit]}
            way = _way(together, sides, sorted(before, key=before.__getitem__))
            return _carry(together, way[0], before, after) if way else None
    return None


def _together(
    unit: int, whom: Mapping[int, list[tuple[int, bool, int]]], before: Place, hand: int
) -> list[int]:
    """Neighbours from a unit to the right that pass the same others in the same way."""
    by_place = {place: u for u, place in before.items()}
    units = [unit]
    while len(units) < hand:
        right = by_place.get(before[units[-1]] + 1)
        if right is None or sorted(whom.get(right, ())) != sorted(whom[unit]):
            break
        units.append(right)
    return units


def _way(
    units: Sequence[int], sides: dict[tuple[int, int], bool], row: Sequence[int]
) -> tuple[tuple[Leg, ...], list[int]] | None:
    """A hand's way through the row, past who lies next to it, and the row then; None if none."""
    at = row.index(units[0])
    left, right = list(row[:at]), list(row[at + len(units) :])
    legs: list[tuple[bool, bool, list[int]]] = []  # over, to the right, who
    for number in sorted({number for number, _ in sides}):
        while open_ := {other for part, other in sides if part == number}:
            to_right = bool(right) and right[0] in open_
            if not to_right and not (left and left[-1] in open_):
                return None
            other = right.pop(0) if to_right else left.pop()
            left.append(other) if to_right else right.insert(0, other)
            over = sides.pop((number, other))
            if legs and legs[-1][:2] == (over, to_right):
                legs[-1][2].append(other)
            else:
                legs.append((over, to_right, [other]))
    return tuple(Leg(over, right, tuple(who)) for over, right, who in legs), [*left, *units, *right]


def _carry(units: Sequence[int], legs: tuple[Leg, ...], before: Place, after: Place) -> Motion:
    along = ((u, place, after[u]) for u, place in before.items() if u not in units)
    return Motion(
        what=What.CARRY,
        units=tuple(units),
        from_places=tuple(before[u] for u in units),
        to_places=tuple(after[u] for u in units),
        legs=legs,
        along=tuple(slide for slide in along if slide[1] != slide[2]),
    )


def needled(stretch: Stretch, *, from_left: bool) -> list[Motion]:
    """Hand after hand carried past those that it has to pass, until all lie right.

    Hands are taken from one side; each goes back past those taken before that end beyond it.
    """
    size = stretch.task.hand
    row: list[Group] = [g[i : i + size] for g in stretch.groups for i in range(0, len(g), size)]
    through = _Through(stretch)
    for hand in list(row) if from_left else row[::-1]:
        at, ends = row.index(hand), stretch.end[hand[0]]
        beside = row[:at] if from_left else row[at + 1 :]
        passed = [other for other in beside if (stretch.end[other[0]] > ends) == from_left]
        if passed:
            row.remove(hand)
            row.insert(at - len(passed) if from_left else at + len(passed), hand)
            through.carry(hand, [u for other in passed for u in other])
    return through.motions()


def passed_by_blocks(stretch: Stretch) -> list[Motion]:
    """Hands that pass whole blocks of neighbours over, or under, with the least effort found."""
    units = stretch.units
    number = {unit: i for i, unit in enumerate(units)}
    over, under = zip(*stretch.task.pairs, strict=True) if stretch.task.pairs else ((), ())
    through = _Through(stretch)
    for move in passed_in_place(units, over, under, stretch.task.hand).moves:
        through.carry(tuple(number[u] for u in move.hand), [number[u] for u in move.passed])
    return through.motions()


class _Through:
    """Carries one after another; one that takes up the hand just laid goes on with it."""

    def __init__(self, stretch: Stretch) -> None:
        self.stretch = stretch
        self.carries: list[tuple[Group, list[int]]] = []

    def carry(self, hand: Group, passed: Sequence[int]) -> None:
        """A hand goes past neighbours; all lie together in the row."""
        if self.carries and self.carries[-1][0] == hand:
            self.carries[-1][1].extend(passed)
        else:
            self.carries.append((hand, list(passed)))

    def motions(self) -> list[Motion]:
        """The carries as motions; with the last one all come to their places."""
        stretch, units = self.stretch, self.stretch.units
        places, now = sorted(stretch.start), dict(zip(units, stretch.start, strict=True))
        row, told = list(units), []
        for number, (hand, passed) in enumerate(self.carries, 1):
            sides = {(0, units[u]): bool(stretch.over[hand[0]] >> u & 1) for u in passed}
            mine = [units[u] for u in hand]
            way = _way(mine, sides, row)
            if way is None:
                raise AssertionError("those that it has to pass lie beside it")
            legs, row = way
            last = number == len(self.carries)
            after = stretch.task.after if last else dict(zip(row, places, strict=True))
            told.append(_carry(mine, legs, now, after))
            now = dict(after)
        return told or in_one_go(_slid(stretch))


def _slid(stretch: Stretch) -> list[Motion]:
    """Strips that go along and pass nobody, in an order in which nothing is in the way."""
    units, start, end = stretch.units, stretch.start, stretch.end
    left = [u for u in range(len(units)) if end[u] < start[u]]
    right = [u for u in range(len(units)) if end[u] > start[u]]
    return [
        Motion(
            what=What.SLIDE,
            units=(units[u],),
            from_places=(start[u],),
            to_places=(end[u],),
        )
        for u in left + right[::-1]
    ]

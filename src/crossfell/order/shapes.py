"""What does the word of a span do, whoever lies where?

Units are ranks here: their numbers from the left before the span. The same word does the same to
any row of units, so each is worked out once, and again for no edit that leaves it as it is
(docs/decisions/0011). Units that do not meet, directly or through others, are looked at apart;
groups that are alike only once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import chain, zip_longest

import numpy as np

from crossfell.order.antichain import antichain_of
from crossfell.order.model import Ints, Shape
from crossfell.order.pairs import pairs_in, signed_sums, undone_of
from crossfell.order.passes import fewest_passes
from crossfell.order.relation import (
    closure_of,
    cycle_of,
    layers_of,
    net_of,
    rows_of,
    standing,
)
from crossfell.order.twice import Twice, laid_twice

Word = tuple[int, ...]
Sides = tuple[tuple[int, int], ...]  # (over, under) of each crossing of a group


@dataclass(frozen=True, kw_only=True)
class _Group:
    """Units that meet, numbered from the left; crossings by their number within the group."""

    stand: tuple[int, ...]  # crossings that do not plainly undo each other
    undoes: bool  # whether some do, or a pair crosses there and back
    layers: tuple[tuple[int, ...], ...] | None
    cycle: tuple[int, ...] | None
    lifted: int
    passes: tuple[tuple[int, ...], ...]
    passes_least: int
    twice: Twice


class Shapes:
    """Shapes of words, each worked out once; `known` are those of the piece before an edit."""

    def __init__(self, known: Iterable[Shape] = ()) -> None:
        self._shapes = {(shape.units, shape.word): shape for shape in known}
        self._groups: dict[Sides, _Group] = {}

    def of(self, units: int, word: Word) -> Shape:
        """The shape of a word on so many units."""
        found = self._shapes.get((units, word))
        if found is None:
            found = self._shapes[units, word] = self._made(units, word)
        return found

    def _made(self, units: int, word: Word) -> Shape:
        pairs = _sides(units, word)
        parts = []
        for members, crossings in _apart(units, pairs):
            number = {unit: local for local, unit in enumerate(members)}
            sides = tuple((number[pairs[i][0]], number[pairs[i][1]]) for i in crossings)
            group = self._groups.get(sides)
            if group is None:
                group = self._groups[sides] = _group(len(members), sides)
            parts.append((members, crossings, group))
        busy = {unit for members, _, _ in parts for unit in members}
        cycles = [tuple(members[u] for u in g.cycle) for members, _, g in parts if g.cycle]
        return Shape(
            units=units,
            word=word,
            over=_fixed([top for top, _ in pairs]),
            under=_fixed([bottom for _, bottom in pairs]),
            layers=None if cycles else _layers(units, busy, parts),
            cycle=min(cycles, key=len, default=None),
            lifted=sum(group.lifted for _, _, group in parts),
            passes=_passes(parts),
            passes_least=max((group.passes_least for _, _, group in parts), default=0),
            twice=tuple(sorted(members[u] for members, _, g in parts for u in g.twice.units)),
            twice_least=sum(group.twice.least for _, _, group in parts),
            undone=_undone(units, word) if any(g.undoes for _, _, g in parts) else (),
        )


_Parts = Sequence[tuple[Sequence[int], Sequence[int], _Group]]


def _sides(units: int, word: Word) -> Sides:
    """Who is over and who under in each crossing."""
    row, sides = list(range(units)), []
    for letter in word:
        at = abs(letter)
        a, b = row[at - 1], row[at]
        row[at - 1], row[at] = b, a
        sides.append((a, b) if letter > 0 else (b, a))
    return tuple(sides)


def _apart(units: int, sides: Sides) -> list[tuple[list[int], list[int]]]:
    """Groups that do not meet, from the left: their units, and their crossings."""
    group = list(range(units))

    def root(unit: int) -> int:
        while group[unit] != unit:
            group[unit] = unit = group[group[unit]]
        return unit

    for top, bottom in sides:
        a, b = root(top), root(bottom)
        if a != b:
            group[max(a, b)] = min(a, b)
    crossings: dict[int, list[int]] = {}
    for index, (top, _) in enumerate(sides):
        crossings.setdefault(root(top), []).append(index)
    members: dict[int, list[int]] = {first: [] for first in sorted(crossings)}
    for unit in range(units):
        if (first := root(unit)) in members:
            members[first].append(unit)
    return [(row, crossings[first]) for first, row in members.items()]


def _group(n: int, sides: Sides) -> _Group:
    all_over, all_under = [top for top, _ in sides], [bottom for _, bottom in sides]
    stand = standing(all_over, all_under)
    over, under = [all_over[i] for i in stand], [all_under[i] for i in stand]
    net = net_of(over, under)
    rows = rows_of(n, over, under)
    layers = layers_of(n, rows)
    parts: tuple[tuple[int, ...], ...] = (tuple(range(len(stand))),) if stand else ()
    cycle, twice, least = None, Twice(units=(), least=0), len(parts)
    if layers is None:
        cycle = cycle_of(n, rows)
        passes = fewest_passes(n, over, under)
        parts, least = passes.parts, passes.least
        twice = laid_twice(n, rows)
    elif len(net) < len(stand):
        layers = layers_of(n, rows_of(n, *_split(net)))
    return _Group(
        stand=tuple(stand),
        undoes=len(stand) < len(sides) or len(net) < len(stand),
        layers=layers,
        cycle=cycle,
        lifted=sum(_lifted(n, [over[i] for i in part], [under[i] for i in part]) for part in parts),
        passes=tuple(tuple(stand[i] for i in part) for part in parts),
        passes_least=least,
        twice=twice,
    )


def _split(pairs: list[tuple[int, int]]) -> tuple[list[int], list[int]]:
    return [top for top, _ in pairs], [bottom for _, bottom in pairs]


def _lifted(n: int, over: list[int], under: list[int]) -> int:
    rows = rows_of(n, *_split(net_of(over, under)))
    layers = layers_of(n, rows)
    if layers is None:
        raise AssertionError("a pass is layable by construction")
    return n - len(antichain_of(closure_of(layers, rows)))


def _layers(units: int, busy: set[int], parts: _Parts) -> tuple[tuple[int, ...], ...]:
    """Layers of all units: those that meet nobody lie at the back."""
    idle = [unit for unit in range(units) if unit not in busy]
    apart = [
        [[members[u] for u in layer] for layer in group.layers or ()] for members, _, group in parts
    ]
    joined = [
        [unit for row in layer for unit in row] for layer in zip_longest(*apart, fillvalue=[])
    ]
    back, *front = joined or [[]]
    return (tuple(sorted(idle + back)), *(tuple(sorted(layer)) for layer in front))


def _passes(parts: _Parts) -> tuple[tuple[int, ...], ...]:
    rows = [[[crossings[i] for i in one] for one in group.passes] for _, crossings, group in parts]
    return _joined(*rows)


def _joined(*rows: Sequence[Sequence[int]]) -> tuple[tuple[int, ...], ...]:
    """The first of each row together, the second of each, and so on."""
    return tuple(tuple(sorted(chain(*one))) for one in zip_longest(*rows, fillvalue=()))


def _undone(units: int, word: Word) -> tuple[tuple[int, int], ...]:
    pairs = pairs_in(units, word)
    _, crossings = signed_sums(word, pairs)
    return tuple(two for at in crossings.values() for two in undone_of(word, pairs, at, units))


def _fixed(row: list[int]) -> Ints:
    array = np.array(row, dtype=np.int64)
    array.setflags(write=False)
    return array

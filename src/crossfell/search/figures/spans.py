"""Which spans can a figure be made of?

A span moves the unit at place i to place p(i), at most `reach` aside, and says for each two that
cross which is over. It can be laid when what is over has no circle (docs/order-and-plan.md): then
permutation and over-relation are all there is to know of it. It is balanced when as many units lean
left as right, by the same widths: such a span holds.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

Places = tuple[int, ...]
Over = frozenset[tuple[int, int]]  # (place of the unit over, of the unit under), before the span
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Spans:
    """Every span of some places, numbered, with what it becomes when it is seen otherwise."""

    places: int
    to: tuple[Places, ...]  # [S] where the unit at each place goes
    over: tuple[Over, ...]  # [S]
    way: Ints  # [S] number of its permutation
    ways: tuple[Places, ...]  # [P] the permutations
    mirrored: Ints  # [S] left and right exchanged
    inverse: Ints  # [S] read from its end: upside down
    reversed: Ints  # [S] over and under exchanged


def spans_of(places: int, reach: int) -> Spans:
    """All balanced spans of a number of places that can be laid and are not idle."""
    ways = sorted(_ways(places, reach))
    rows = [(way, over) for way in ways for over in orientations(way)]
    number = {row: k for k, row in enumerate(rows)}
    flip = places - 1

    def images(change: Callable[[Places, Over], tuple[Places, Over]]) -> Ints:
        return np.array([number[change(way, over)] for way, over in rows], dtype=np.int64)

    return Spans(
        places=places,
        to=tuple(way for way, _ in rows),
        over=tuple(over for _, over in rows),
        way=np.array([ways.index(way) for way, _ in rows], dtype=np.int64),
        ways=tuple(ways),
        mirrored=images(lambda way, over: (
            tuple(flip - p for p in reversed(way)),
            frozenset((flip - a, flip - b) for a, b in over),
        )),
        inverse=images(lambda way, over: (
            inverted(way), frozenset((way[a], way[b]) for a, b in over)
        )),
        reversed=images(lambda way, over: (way, frozenset((b, a) for a, b in over))),
    )  # fmt: skip


def turned_over(spans: Spans) -> Spans:
    """Only the spans that are the same from behind: left and right and over and under exchanged."""
    same = np.flatnonzero(spans.reversed[spans.mirrored] == np.arange(len(spans.to)))
    ways = sorted({spans.to[s] for s in same})
    number = np.full(len(spans.to), -1)
    number[same] = np.arange(len(same))
    return Spans(
        places=spans.places,
        to=tuple(spans.to[s] for s in same),
        over=tuple(spans.over[s] for s in same),
        way=np.array([ways.index(spans.to[s]) for s in same], dtype=np.int64),
        ways=tuple(ways),
        mirrored=number[spans.mirrored[same]],
        inverse=number[spans.inverse[same]],
        reversed=number[spans.reversed[same]],
    )


def _ways(places: int, reach: int) -> Iterator[Places]:
    """Balanced permutations with no place moved further than `reach`, but the idle one."""

    def grown(way: Places) -> Iterator[Places]:
        at = len(way)
        if at == places:
            yield way
            return
        for to in range(max(0, at - reach), min(places, at + reach + 1)):
            if to not in way:
                yield from grown((*way, to))

    for way in grown(()):
        leans = Counter(to - at for at, to in enumerate(way))
        if leans[0] < places and all(leans[by] == leans[-by] for by in leans):
            yield way


def orientations(way: Places) -> Iterator[Over]:
    """Every over-relation of the crossings of a permutation that can be laid."""
    pairs = crossings(way)
    for said in product((True, False), repeat=len(pairs)):
        over = [(a, b) if left else (b, a) for (a, b), left in zip(pairs, said, strict=True)]
        if _can_be_laid(len(way), over):
            yield frozenset(over)


def crossings(way: Places) -> list[tuple[int, int]]:
    """Pairs of places whose units change sides."""
    n = len(way)
    return [(a, b) for a in range(n) for b in range(a + 1, n) if way[a] > way[b]]


def _can_be_laid(n: int, over: list[tuple[int, int]]) -> bool:
    left = set(range(n))
    while left:
        lowest = {u for u in left if not any(a == u and b in left for a, b in over)}
        if not lowest:
            return False
        left -= lowest
    return True


def inverted(way: Places) -> Places:
    """The permutation back."""
    out = [0] * len(way)
    for at, to in enumerate(way):
        out[to] = at
    return tuple(out)

"""Which units of an interlaced span must be laid in two goes?

Without them no cycle is left: a smallest set of units that meets every cycle (a feedback vertex
set). Search by a shortest cycle, which has at most four units: one of them belongs to the set.
Checked: exhaustive search, tests/outside/test_layers.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.order.relation import bits, cycle_of

MOST_TRIED = 3_000


@dataclass(frozen=True, kw_only=True)
class Twice:
    """Units laid in two goes; `least`: no set is smaller."""

    units: tuple[int, ...]
    least: int


@dataclass
class _Search:
    n: int
    rows: Sequence[int]
    tried: int = 0


def laid_twice(n: int, rows: Sequence[int]) -> Twice:
    """Fewest units to lay in two goes, proved where `least` equals their number."""
    search = _Search(n, rows)
    everybody = (1 << n) - 1
    size = len(_apart(search, everybody))
    while True:
        found = _within(search, everybody, 0, size)
        if found is not None:
            return Twice(units=tuple(bits(found)), least=size)
        if search.tried > MOST_TRIED:
            return Twice(units=tuple(bits(_greedy(search))), least=size)
        size += 1


def _within(search: _Search, left: int, kept: int, size: int) -> int | None:
    """A set of `size` units of `left`, none of `kept`, without which there is no cycle."""
    search.tried += 1
    if search.tried > MOST_TRIED:
        return None
    cycle = _cycle(search, left)
    if cycle is None:
        return 0
    if size < 1 or len(_apart(search, left)) > size:
        return None
    for unit in cycle:
        if kept >> unit & 1:
            continue
        found = _within(search, left & ~(1 << unit), kept, size - 1)
        if found is not None:
            return found | 1 << unit
        kept |= 1 << unit
    return None


def _cycle(search: _Search, left: int) -> tuple[int, ...] | None:
    rows = [row & left if left >> u & 1 else 0 for u, row in enumerate(search.rows)]
    return cycle_of(search.n, rows)


def _apart(search: _Search, left: int) -> list[tuple[int, ...]]:
    """Cycles that share no unit: each asks for a unit of its own."""
    found = []
    while (cycle := _cycle(search, left)) is not None:
        found.append(cycle)
        for unit in cycle:
            left &= ~(1 << unit)
    return found


def _greedy(search: _Search) -> int:
    left = (1 << search.n) - 1
    chosen = 0
    while (cycle := _cycle(search, left)) is not None:
        most = max(cycle, key=lambda u: (search.rows[u] & left).bit_count())
        chosen |= 1 << most
        left &= ~(1 << most)
    return chosen

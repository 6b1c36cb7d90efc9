"""How few bars are enough when the pieces of a few bars are cut anew, again and again?

For pieces of many lengths, where patterns are too many to list and a plan with hardly any waste is
a needle among them. Every bar is filled as full as its longest piece allows; then the pieces of
some bars, the emptiest among them, are pooled and cut in another order, and the new bars stay when
less is bought or their rests are more unequal, until no more is bought than must be.
Source: filling by subset sums, Gupta & Ho, Production Planning & Control 10 (1999) 598-603; cutting
anew, Schrimpf et al., Journal of Computational Physics 159 (2000) 139-171; unequal bars are better,
Falkenauer, Journal of Heuristics 2 (1996) 5-30 (all from memory). The order is pseudo-random with a
fixed start: the same task gives the same plan.
Checked: bars cut up without waste and shuffled, tests/outside/test_cutting_stock.py.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from crossfell.plan.sawing import Sawing

MOST_CELLS = 400_000  # of a bar; with more, pieces are rounded up
COARSE_CELLS = 20_000
MOST_WORK = 400_000_000  # rounds × cells
EMPTIEST = 3  # bars, at most, that are always cut anew
OTHERS = 5  # bars, at most, that are cut anew with them
Pieces = list[int]  # the numbers of their sizes in the task


@dataclass(frozen=True, kw_only=True)
class _Bar:
    kind: int
    pieces: Pieces
    rest: int  # cells


@dataclass(frozen=True, kw_only=True)
class _Yard:
    """The task in whole cells."""

    lengths: tuple[int, ...]  # of each size
    rooms: tuple[int, ...]  # of each kind of bar
    costs: tuple[int, ...]
    limits: tuple[int | None, ...]
    chance: Callable[[], float]

    def cost(self, bars: Sequence[_Bar]) -> tuple[int, int]:
        """What is bought, then how even the rests are: less is better."""
        return sum(self.costs[bar.kind] for bar in bars), -sum(bar.rest**2 for bar in bars)


def exchanged(task: Sawing, least: float, *, rounds: int) -> dict[tuple[int, tuple[int, ...]], int]:
    """Kind of bar and pieces of each size from it: how often.

    At least `least` (in the costs of the task) must be bought. Nothing when a piece finds no bar.
    """
    cell = math.gcd(*task.sizes)
    longest = max(task.rooms)
    if longest // cell > MOST_CELLS:
        cell = -(-longest // COARSE_CELLS)
    yard = _Yard(
        lengths=tuple(-(-size // cell) for size in task.sizes),
        rooms=tuple(room // cell for room in task.rooms),
        costs=task.costs,
        limits=task.limits,
        chance=_chance(),
    )
    bars = _filled(yard, [i for i, n in enumerate(task.demand) for _ in range(n)], task.limits)
    for _ in range(min(rounds, MOST_WORK * cell // longest)):
        if bars is None or yard.cost(bars)[0] <= least:
            break
        bars = _anew(yard, bars)
    rows: Counter[tuple[int, tuple[int, ...]]] = Counter()
    for bar in bars or ():
        inside = Counter(bar.pieces)
        rows[bar.kind, tuple(inside[i] for i in range(len(task.sizes)))] += 1
    return dict(rows)


def _anew(yard: _Yard, bars: list[_Bar]) -> list[_Bar]:
    """The same pieces, some bars cut in another order; the old ones where that is no better."""
    bars = sorted(bars, key=lambda bar: -bar.rest)
    some = set(range(min(1 + int(yard.chance() * EMPTIEST), len(bars))))
    count = 2 + int(yard.chance() * (OTHERS - 1))
    some |= {int(yard.chance() * len(bars)) for _ in range(count)}
    old = [bars[k] for k in sorted(some)]
    kept = [bar for k, bar in enumerate(bars) if k not in some]
    pool = [i for bar in old for i in bar.pieces]
    pool.sort(key=lambda i: -yard.lengths[i] * (0.5 + yard.chance()))
    used = Counter(bar.kind for bar in kept)
    left = tuple(None if limit is None else limit - used[k] for k, limit in enumerate(yard.limits))
    new = _filled(yard, pool, left)
    return bars if new is None or yard.cost(new) > yard.cost(old) else kept + new


def _filled(yard: _Yard, pool: Pieces, limits: Sequence[int | None]) -> list[_Bar] | None:
    """Bars that begin with the first piece left, each as full as can be; None without a bar."""
    bars, left = list[_Bar](), list(limits)
    while pool:
        kinds = [
            kind
            for kind, room in enumerate(yard.rooms)
            if room >= yard.lengths[pool[0]] and left[kind] != 0
        ]
        if not kinds:
            return None
        kind, taken, rest = _fullest(yard, pool, kinds)
        bars.append(_Bar(kind=kind, pieces=[pool[at] for at in sorted(taken)], rest=rest))
        pool = [i for at, i in enumerate(pool) if at not in taken]
        count = left[kind]
        left[kind] = None if count is None else count - 1
    return bars


def _fullest(yard: _Yard, pool: Pieces, kinds: Sequence[int]) -> tuple[int, set[int], int]:
    """The bar with the least rest, where its pieces stand (earlier ones rather), and the rest.

    The first piece is among them. Bit s of `sums[k]` says that some of the pieces from k on are s
    long together.
    """
    first, *lengths = [yard.lengths[i] for i in pool]
    within = (1 << (max(yard.rooms[kind] for kind in kinds) - first + 1)) - 1
    sums = [1]
    for length in reversed(lengths):
        sums.append((sums[-1] | sums[-1] << length) & within)
    sums.reverse()
    ways = []
    for kind in kinds:
        room = yard.rooms[kind] - first
        most = (sums[0] & ((1 << (room + 1)) - 1)).bit_length() - 1
        ways.append((room - most, yard.chance(), kind, most))
    rest, _, kind, wanted = min(ways)
    taken = {0}
    for k, length in enumerate(lengths, 1):
        if length <= wanted and sums[k] >> (wanted - length) & 1:
            taken.add(k)
            wanted -= length
    return kind, taken, rest


def _chance() -> Callable[[], float]:
    """Numbers from 0 to 1. Source: Knuth's MMIX generator, TAOCP 2, 3.3.4 (from memory)."""
    state = 1

    def following() -> float:
        nonlocal state
        state = (6364136223846793005 * state + 1442695040888963407) % 2**64
        return (state >> 11) / 2**53

    return following

"""How is an interlaced span split into the fewest passes that can each be laid?

Crossings are numbered in the order of the word. A pass may take a crossing only when those before
it along both of its units are done, and no pass may hold a cycle. First fit gives few passes; an
integer program then asks whether one pass fewer would do. Checked: plain weave of m through m
takes m passes, and exhaustive search, tests/outside/test_layers.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from crossfell.order.relation import bits, cycle_of, rows_of

MOST_CROSSINGS = 150  # of a span that the integer program is asked about
MOST_ROUNDS = 40  # times that new cycles are forbidden
MOST_NODES = 2_000  # of one integer program

Parts = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, kw_only=True)
class Passes:
    """Crossings (indices into the word) of each pass, in order; `least`: no split has fewer."""

    parts: Parts
    least: int


def fewest_passes(n: int, over: Sequence[int], under: Sequence[int]) -> Passes:
    """Split crossings into the fewest layable passes, proved where `least` equals their number."""
    parts = first_fit(n, over, under)
    while len(parts) > 2 and len(over) <= MOST_CROSSINGS:
        fewer = _split_in(len(parts) - 1, n, over, under)
        if fewer is None:
            return Passes(parts=parts, least=len(parts))
        if not fewer:
            break
        parts = fewer
    return Passes(parts=parts, least=min(len(parts), 2))


def first_fit(n: int, over: Sequence[int], under: Sequence[int]) -> Parts:
    """Each crossing in the first pass that is free: not closing a cycle, not before one put off."""
    left = list(range(len(over)))
    passes = []
    while left:
        rows = [0] * n
        blocked = 0
        taken, put_off = [], []
        for index in left:
            top, bottom = over[index], under[index]
            free = not (blocked >> top & 1 or blocked >> bottom & 1)
            if free and not _reaches(rows, bottom, top):
                rows[top] |= 1 << bottom
                taken.append(index)
            else:
                blocked |= 1 << top | 1 << bottom
                put_off.append(index)
        passes.append(tuple(taken))
        left = put_off
    return tuple(passes)


def _reaches(rows: Sequence[int], start: int, goal: int) -> bool:
    seen = front = 1 << start
    while front:
        if front >> goal & 1:
            return True
        reached = 0
        for unit in bits(front):
            reached |= rows[unit]
        front = reached & ~seen
        seen |= reached
    return False


def _split_in(count: int, n: int, over: Sequence[int], under: Sequence[int]) -> Parts | None:
    """A split in `count` passes; None when there is none; () when the search was given up.

    Variables y[c, t]: crossing c is done by the end of pass t (t < count). Cycles that an answer
    puts into one pass are forbidden in every pass, and it is asked again.
    """
    size = len(over)
    rows = [
        *(((c, t, 1), (c, t + 1, -1)) for c in range(size) for t in range(count - 2)),
        *(
            ((later, t, 1), (first, t, -1))
            for first, later in _neighbours_along(n, over, under)
            for t in range(count - 1)
        ),
    ]
    cycles: dict[tuple[int, ...], None] = {}
    for _ in range(MOST_ROUNDS):
        done = _solved(size, count, rows, list(cycles))
        if done is None:
            return None
        if not done:
            return ()
        parts = tuple(tuple(c for c in range(size) if done[c] == t) for t in range(count))
        found = [cycle for part in parts for cycle in _cycles_in(part, n, over, under)]
        if not found:
            return tuple(part for part in parts if part)
        cycles.update(dict.fromkeys(found))
    return ()


def _neighbours_along(n: int, over: Sequence[int], under: Sequence[int]) -> list[tuple[int, int]]:
    along: list[list[int]] = [[] for _ in range(n)]
    for index, (top, bottom) in enumerate(zip(over, under, strict=True)):
        along[top].append(index)
        along[bottom].append(index)
    return sorted({pair for row in along for pair in pairwise(row)})


def _solved(
    size: int,
    count: int,
    rows: Sequence[tuple[tuple[int, int, int], ...]],
    cycles: Sequence[tuple[int, ...]],
) -> list[int] | None:
    """The pass of each crossing, from 0; None when there is no answer; [] when given up."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_matrix

    width = count - 1
    entries: list[tuple[int, int, int]] = []
    most: list[float] = []
    for row in rows:
        entries += [(len(most), c * width + t, sign) for c, t, sign in row]
        most.append(0.0)
    for cycle in cycles:
        for t in range(count):
            for c in cycle:
                if t < width:
                    entries.append((len(most), c * width + t, 1))
                if t > 0:
                    entries.append((len(most), c * width + t - 1, -1))
            most.append(len(cycle) - 1.0 - (len(cycle) if t == width else 0))
    table = np.array(entries, dtype=np.int64)
    matrix = csr_matrix(
        (table[:, 2].astype(float), (table[:, 0], table[:, 1])), shape=(len(most), size * width)
    )
    answer = milp(
        -np.ones(size * width),
        constraints=LinearConstraint(matrix, ub=np.array(most)),
        integrality=np.ones(size * width, dtype=np.int64),
        bounds=Bounds(0, 1),
        options={"node_limit": MOST_NODES},
    )
    if answer.status == 2:
        return None
    if answer.x is None:
        return []
    done = np.round(answer.x).astype(int).reshape(size, width)
    return [width - int(line.sum()) for line in done]


def _cycles_in(
    part: Sequence[int], n: int, over: Sequence[int], under: Sequence[int]
) -> list[tuple[int, ...]]:
    """Cycles of crossings in one pass, of units that have no other cycle in common."""
    left = set(part)
    found: list[tuple[int, ...]] = []
    while True:
        here = sorted(left)
        rows = rows_of(n, [over[c] for c in here], [under[c] for c in here])
        cycle = cycle_of(n, rows)
        if cycle is None:
            return found
        sides = list(zip(cycle, cycle[1:] + cycle[:1], strict=True))
        choices = [[c for c in here if (over[c], under[c]) == side] for side in sides]
        found += [tuple(sorted(chosen)) for chosen in product(*choices)]
        left -= set(choices[0])

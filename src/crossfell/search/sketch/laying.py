"""Which moves take the units from one band to the next, so that they can be written in a draft?

The k-th unit of a colour goes to the k-th cell of that colour: units of one colour never cross. Who
passes over whom follows from one order of heights for each span, so that every span can be laid.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from crossfell.draft.kinds import said_of
from crossfell.draft.plain import Shift
from crossfell.search.sketch.asked import Ints

EMPTY = -1


@dataclass(frozen=True, kw_only=True)
class InFront:
    """Which colour lies in front: ranks [K], the greatest in front; or as few lifts as can be."""

    rank: tuple[int, ...]
    least: bool = False  # of all height orders one with the fewest lifts


def rows_of(shown: Ints, counts: Sequence[int], free: Sequence[bool]) -> Ints:
    """Unit in each cell [T, n], numbered from the left of the first band; EMPTY for bare wall."""
    rows = np.full(shown.shape, EMPTY, dtype=np.int64)
    names = np.full(shown.shape[1], EMPTY, dtype=np.int64)
    filled = ~np.array(free)[shown[0]]
    names[filled] = np.arange(filled.sum())
    for c in range(len(counts)):
        if not free[c]:
            units = names[shown[0] == c]
            for t in range(len(shown)):
                rows[t, shown[t] == c] = units
    return rows


def heights(
    now: list[int], after: list[int], whose: Sequence[int], front: InFront
) -> dict[int, int]:
    """Height of each unit in a span: the greater passes over the lesser.

    With the fewest lifts a longest row of units that keep their order stays in one layer; every
    other unit passes wholly in front of it or behind. Source: derived (Dilworth). Checked: every
    order of heights for all permutations of up to five, tests/search/sketch.
    """
    if not front.least:
        return {unit: front.rank[whose[unit]] for unit in now}
    place = {unit: k for k, unit in enumerate(after)}
    stay = set(_longest_kept([place[unit] for unit in now], now))
    middle = min(front.rank)
    movers = sorted((u for u in now if u not in stay), key=lambda u: (front.rank[whose[u]], u))
    order = {unit: 1 + k for k, unit in enumerate(movers) if front.rank[whose[unit]] > middle}
    order |= {unit: k - len(movers) for k, unit in enumerate(movers) if unit not in order}
    return {unit: order.get(unit, 0) for unit in now}


def _longest_kept(places: list[int], units: list[int]) -> list[int]:
    """A longest run of units whose places grow. Source: patience sorting, common knowledge."""
    ends: list[int] = []
    last: list[int] = []
    before: list[int] = []
    for k, place in enumerate(places):
        at = bisect_left(ends, place)
        ends[at : at + 1] = [place]
        last[at : at + 1] = [k]
        before.append(last[at - 1] if at else -1)
    kept, k = [], last[-1] if last else -1
    while k >= 0:
        kept.append(units[k])
        k = before[k]
    return kept


def moves_between(now: Ints, after: Ints, height: dict[int, int]) -> list[str]:
    """Moves, as written, that take one row of places to the next."""
    row = [int(unit) for unit in now]
    goal = {int(unit): k for k, unit in enumerate(after) if unit != EMPTY}
    moves: list[str] = []
    for first, last in _parts([unit for unit in row if unit != EMPTY], goal):
        moves += _crossed(row, goal, height, first, last)
    return moves + _slid(row, goal)


def _parts(units: list[int], goal: dict[int, int]) -> list[tuple[int, int]]:
    """Runs of units (first, last in their order) whose members cross only among themselves."""
    want = sorted(units, key=goal.__getitem__)
    rank = {unit: k for k, unit in enumerate(want)}
    parts, first, far = [], 0, -1
    for k, unit in enumerate(units):
        far = max(far, rank[unit])
        if far == k:
            if k > first:
                parts.append((first, k))
            first = k + 1
    return parts


def _crossed(row: list[int], goal: dict[int, int], height: dict[int, int], first: int, last: int
             ) -> list[str]:  # fmt: skip
    """Make the crossings of a part, side by side from its first place; the largest blocks first."""
    places = [k for k, unit in enumerate(row) if unit != EMPTY]
    moves = []
    for k in range(first + 1, last + 1):
        moves += _shifted(row, places[k], places[k], places[first] + k - first - places[k])
    start = places[first]
    while found := _largest(row[start : start + last - first + 1], goal, height):
        a, m, b, over = found
        left, right = _block(start + a, start + m - 1), _block(start + m, start + b)
        moves.append(f"{left} over {right}" if over else f"{right} over {left}")
        row[start + a : start + b + 1] = row[start + m : start + b + 1] + row[start + a : start + m]
    return moves


def _largest(units: list[int], goal: dict[int, int], height: dict[int, int]
             ) -> tuple[int, int, int, bool] | None:  # fmt: skip
    """Two neighbouring blocks, all of one to pass all of the other alike; the most crossings."""
    best, found = 0, None
    for m in range(1, len(units)):
        if goal[units[m - 1]] < goal[units[m]]:
            continue
        over = height[units[m - 1]] > height[units[m]]
        reach = len(units)
        for a in range(m - 1, -1, -1):
            b = m
            while (
                b < reach
                and goal[units[a]] > goal[units[b]]
                and (height[units[a]] > height[units[b]]) == over
            ):
                b += 1
            reach = b
            if reach == m:
                break
            if (m - a) * (reach - m) > best:
                best, found = (m - a) * (reach - m), (a, m, reach - 1, over)
    return found


def _slid(row: list[int], goal: dict[int, int]) -> list[str]:
    """Shift every unit to its place; those in front of the way first."""
    moves: list[str] = []
    n = len(row)
    for side in (1, -1):
        k = n - 1 if side > 0 else 0
        while 0 <= k < n:
            unit = row[k]
            by = goal[unit] - k if unit != EMPTY else 0
            if by * side <= 0:
                k -= side
                continue
            far = k
            while (
                0 <= far - side < n
                and row[far - side] != EMPTY
                and (goal[row[far - side]] - (far - side) == by)
            ):
                far -= side
            moves += _shifted(row, min(k, far), max(k, far), by)
            k = far - side
    return moves


def _shifted(row: list[int], first: int, last: int, by: int) -> list[str]:
    if not by:
        return []
    units = row[first : last + 1]
    row[first : last + 1] = [EMPTY] * len(units)
    row[first + by : last + by + 1] = units
    return [said_of(Shift(first=first + 1, last=last + 1, places=by)).text()]


def _block(first: int, last: int) -> str:
    return f"{first + 1}" if first == last else f"{first + 1}-{last + 1}"

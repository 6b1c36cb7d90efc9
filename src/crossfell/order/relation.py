"""Who lies over whom in a span: can it be laid, in which layers, and if not, why not?

A relation is given by parallel lists `over`, `under` of unit numbers 0..n-1: each crossing says
that one unit passes over another. Sets of units are bit rows (Python integers).
"""

from __future__ import annotations

from collections.abc import Sequence


def rows_of(n: int, over: Sequence[int], under: Sequence[int]) -> list[int]:
    """Bit row for each unit: the units that it passes over."""
    rows = [0] * n
    for top, bottom in zip(over, under, strict=True):
        rows[top] |= 1 << bottom
    return rows


def layers_of(n: int, rows: Sequence[int]) -> tuple[tuple[int, ...], ...] | None:
    """Layers of units from back to front, or None when no order of laying exists.

    A unit's layer is one above the highest that it passes over (Kahn's order, longest path). A
    span is layable exactly when the relation has no cycle. Checked: networkx, tests/outside.
    """
    above: list[list[int]] = [[] for _ in range(n)]
    waiting = [0] * n
    for top in range(n):
        for bottom in bits(rows[top]):
            above[bottom].append(top)
            waiting[top] += 1
    depth = [0] * n
    ready = [u for u in range(n) if waiting[u] == 0]
    done = 0
    while ready:
        bottom = ready.pop()
        done += 1
        for top in above[bottom]:
            depth[top] = max(depth[top], depth[bottom] + 1)
            waiting[top] -= 1
            if waiting[top] == 0:
                ready.append(top)
    if done < n:
        return None
    layers: list[list[int]] = [[] for _ in range(max(depth, default=0) + 1)]
    for unit, level in enumerate(depth):
        layers[level].append(unit)
    return tuple(map(tuple, layers))


def cycle_of(n: int, rows: Sequence[int]) -> tuple[int, ...] | None:
    """A shortest cycle, each unit over the next and the last over the first; None if there is none.

    Where each pair crosses at most once it has 3 or 4 units (crossing graphs of permutations have
    no longer chordless cycle); a pair that wraps is a cycle of 2.
    """
    under = [0] * n
    for top in range(n):
        for bottom in bits(rows[top]):
            under[bottom] |= 1 << top
    for top in range(n):
        if both := rows[top] & under[top]:
            return (top, first_bit(both))
    for top in range(n):
        for bottom in bits(rows[top]):
            if third := rows[bottom] & under[top]:
                return (top, bottom, first_bit(third))
    for top in range(n):
        for bottom in bits(rows[top]):
            for third in bits(rows[bottom]):
                if fourth := rows[third] & under[top]:
                    return (top, bottom, third, first_bit(fourth))
    return _long_cycle(n, rows)


def _long_cycle(n: int, rows: Sequence[int]) -> tuple[int, ...] | None:
    best: tuple[int, ...] | None = None
    for start in range(n):
        before: dict[int, int] = {start: start}
        front = [start]
        while front and best is None:
            reached = []
            for top in front:
                if rows[top] >> start & 1:
                    best = _way_back(before, start, top)
                    break
                for bottom in bits(rows[top]):
                    if bottom not in before:
                        before[bottom] = top
                        reached.append(bottom)
            front = reached
    return best


def _way_back(before: dict[int, int], start: int, end: int) -> tuple[int, ...]:
    way = [end]
    while way[-1] != start:
        way.append(before[way[-1]])
    return tuple(reversed(way))


def closure_of(layers: Sequence[Sequence[int]], rows: Sequence[int]) -> list[int]:
    """Bit rows of everything below each unit, directly or through others."""
    below = list(rows)
    for layer in layers:
        for top in layer:
            reach = rows[top]
            for bottom in bits(rows[top]):
                reach |= below[bottom]
            below[top] = reach
    return below


def antichain_of(below: Sequence[int]) -> tuple[int, ...]:
    """A largest set of units none of which lies over another, in the closed relation `below`.

    By Dilworth's theorem (1950) it has n − m units, m a maximum matching of the bipartite graph of
    the relation; König's theorem gives the set itself. Checked: networkx, tests/outside.
    """
    n = len(below)
    partner_of_top, partner_of_bottom = _matching(below)
    reached_tops = [u for u in range(n) if partner_of_top[u] < 0]
    tops, bottoms = set(reached_tops), 0
    while reached_tops:
        top = reached_tops.pop()
        for bottom in bits(below[top] & ~bottoms):
            bottoms |= 1 << bottom
            mate = partner_of_bottom[bottom]
            if mate >= 0 and mate not in tops:
                tops.add(mate)
                reached_tops.append(mate)
    return tuple(u for u in range(n) if u in tops and not bottoms >> u & 1)


def _matching(below: Sequence[int]) -> tuple[list[int], list[int]]:
    n = len(below)
    top_mate, bottom_mate = [-1] * n, [-1] * n
    free = (1 << n) - 1
    for top in range(n):  # a greedy start takes most of the pairs
        if open_ := below[top] & free:
            bottom = first_bit(open_)
            top_mate[top], bottom_mate[bottom] = bottom, top
            free &= ~(1 << bottom)
    for top in range(n):
        if top_mate[top] < 0 and below[top]:
            _augment(top, below, top_mate, bottom_mate)
    return top_mate, bottom_mate


def _augment(start: int, below: Sequence[int], top_mate: list[int], bottom_mate: list[int]) -> None:
    came_from: dict[int, int] = {}
    seen = 0
    queue = [start]
    for top in queue:
        for bottom in bits(below[top] & ~seen):
            seen |= 1 << bottom
            came_from[bottom] = top
            if bottom_mate[bottom] < 0:
                _flip(bottom, start, came_from, top_mate, bottom_mate)
                return
            queue.append(bottom_mate[bottom])


def _flip(
    bottom: int, start: int, came_from: dict[int, int], top_mate: list[int], bottom_mate: list[int]
) -> None:
    while bottom >= 0:
        upper = came_from[bottom]
        following = top_mate[upper]
        top_mate[upper], bottom_mate[bottom] = bottom, upper
        bottom = following if upper != start else -1


def passes_of(n: int, over: Sequence[int], under: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    """Split crossings into layable passes, in order; each is a tuple of indices.

    First fit: a crossing joins the pass unless it closes a cycle or an earlier crossing of one of
    its units was put off. Few passes, not proved fewest.
    """
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


def bits(row: int) -> list[int]:
    """Units of a bit row, in order."""
    out = []
    while row:
        low = row & -row
        out.append(low.bit_length() - 1)
        row ^= low
    return out


def first_bit(row: int) -> int:
    """Lowest unit of a bit row that is not empty."""
    return (row & -row).bit_length() - 1

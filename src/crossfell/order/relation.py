"""Who lies over whom in a span: can it be laid, in which layers, and if not, why not?

A relation is given by parallel lists `over`, `under` of unit numbers 0..n-1: each crossing says
that one unit passes over another. Sets of units are bit rows (Python integers).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

MANY = 1_000  # crossings from which arrays are quicker than lists
WIDE = 64  # units from which they are


def rows_of(n: int, over: Sequence[int], under: Sequence[int]) -> list[int]:
    """Bit row for each unit: the units that it passes over."""
    if len(over) > MANY:
        table = np.zeros((n, n), dtype=np.bool_)
        table[np.array(over), np.array(under)] = True
        packed = np.packbits(table, axis=1, bitorder="little")
        return [int.from_bytes(row.tobytes(), "little") for row in packed]
    rows = [0] * n
    for top, bottom in zip(over, under, strict=True):
        rows[top] |= 1 << bottom
    return rows


def net_of(over: Sequence[int], under: Sequence[int]) -> list[tuple[int, int]]:
    """Pairs (over, under) that change sides in the end, for crossings that units could be laid in.

    A pair that crosses there and back, the same unit over both times, ends as it began: where all
    crossings agree with one order of layers, both come out when the units are laid.
    """
    pairs = list(zip(over, under, strict=True))
    if len(set(pairs)) == len(pairs):
        return pairs
    times: dict[tuple[int, int], int] = {}
    for pair in pairs:
        times[pair] = times.get(pair, 0) + 1
    return [pair for pair, count in times.items() if count % 2]


def standing(over: Sequence[int], under: Sequence[int]) -> list[int]:
    """Indices of the crossings left when those that plainly undo each other are taken out.

    Two crossings of a pair do so when the same unit is over both times and neither crosses
    anybody else in between.
    """
    if len(over) > MANY and _all_once(over, under):
        return list(range(len(over)))
    left: list[int] = []
    along: dict[int, list[int]] = {}
    for index, (top, bottom) in enumerate(zip(over, under, strict=True)):
        mine, other = along.setdefault(top, []), along.setdefault(bottom, [])
        last = mine[-1] if mine else -1
        if last >= 0 and other and other[-1] == last and over[last] == top:
            mine.pop()
            other.pop()
        else:
            mine.append(index)
            other.append(index)
    for unit, crossings in along.items():
        left += [index for index in crossings if over[index] == unit]
    return sorted(left)


def _all_once(over: Sequence[int], under: Sequence[int]) -> bool:
    one, other = np.array(over), np.array(under)
    pairs = np.minimum(one, other) * (int(max(one.max(), other.max())) + 1)
    return len(np.unique(pairs + np.maximum(one, other))) == len(one)


def layers_of(n: int, rows: Sequence[int]) -> tuple[tuple[int, ...], ...] | None:
    """Layers of units from back to front, or None when no order of laying exists.

    A unit's layer is one above the highest that it passes over (Kahn's order, longest path): the
    next layer is all that passes over nobody who is not yet laid. A span is layable exactly when
    the relation has no cycle. Checked: networkx, tests/outside/test_layers.py.
    """
    if n > WIDE:
        return _layers_of_many(n, rows)
    layers, left, open_ = [], list(range(n)), (1 << n) - 1
    while left:
        layer = tuple(u for u in left if not rows[u] & open_)
        if not layer:
            return None
        layers.append(layer)
        left = [u for u in left if rows[u] & open_]
        for unit in layer:
            open_ ^= 1 << unit
    return tuple(layers) or ((),)


def _layers_of_many(n: int, rows: Sequence[int]) -> tuple[tuple[int, ...], ...] | None:
    """The same by counting, for each unit, over how many it passes that are not yet laid."""
    packed = b"".join(row.to_bytes((n + 7) // 8, "little") for row in rows)
    table = np.unpackbits(
        np.frombuffer(packed, dtype=np.uint8).reshape(n, -1), axis=1, count=n, bitorder="little"
    )
    above = np.ascontiguousarray(table.T).astype(np.int32)  # [lower, upper]
    waiting = table.sum(axis=1, dtype=np.int32)
    layers = []
    done = 0
    ready = np.nonzero(waiting == 0)[0]
    while len(ready):
        layers.append(tuple(ready.tolist()))
        done += len(ready)
        waiting[ready] = -1
        waiting -= above[ready].sum(axis=0) if len(ready) > 1 else above[ready[0]]
        ready = np.nonzero(waiting == 0)[0]
    return tuple(layers) if done == n else None


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

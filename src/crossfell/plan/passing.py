"""How are crossings made with the fewest hands when no strip can be laid aside?

Each move lifts one hand of neighbours and lays it down again beyond a block of neighbours that it
passes, over all of them or under all of them; every pair passes once. A move costs HAND, and STRIP
for each strip lifted. The batten is cut where nothing passes; each part is searched exactly (A*)
up to a limit, beyond that by a beam, and the floor says how far from the least it can be.

Floors: a move takes away at most one descent and three breakpoints of the row, and of each
crossing the upper or the lower strip is lifted, so at least as many strips are lifted as a largest
matching of uppers to lowers has pairs (König). Source: derived; weights are common practice.
Checked: exhaustive search, tests/outside/test_handling.py.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from crossfell.order.relation import bits, net_of

HAND, STRIP = 3, 1  # a move, and each strip that it lifts
MOST_EXACT = 14  # units of a part that is searched exactly
MOST_STATES = 6_000  # rows looked at before the beam takes over
MOST_BEAM = 32  # units of a part that the beam searches; beyond, each strip goes as far as it can
BEAM = 16

Row = tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class Move:
    """A hand passes a block of neighbours, over all of them or under all of them."""

    hand: Row
    passed: Row
    over: bool

    @property
    def cost(self) -> int:
        """What it costs."""
        return HAND + STRIP * len(self.hand)


@dataclass(frozen=True, kw_only=True)
class Passed:
    """Moves in order, part after part, and floors for their cost, their strips and their number."""

    moves: tuple[Move, ...]
    least: int
    strips_least: int
    moves_least: int

    @property
    def cost(self) -> int:
        """What they cost together."""
        return sum(move.cost for move in self.moves)


@dataclass(frozen=True, kw_only=True)
class Part:
    """Neighbours that pass only each other: where each one goes, and whom each one is over."""

    row: Row
    goal: Mapping[int, int]  # unit: its place in the row at the end
    over: Mapping[int, int]  # unit: bit row of the units that it passes over
    hand: int


def passed_in_place(
    row: Sequence[int], over: Sequence[int], under: Sequence[int], hand: int
) -> Passed:
    """Moves that make these crossings, the units lying in `row` at first."""
    parts = _parts(row, net_of(over, under), hand)
    moves: list[Move] = []
    least = strips = fewest = 0
    for part in parts:
        found, floor = _least(part)
        moves += found
        least += floor
        strips += _strips(part, part.row)
        fewest += _fewest_moves(part, part.row)
    return Passed(moves=tuple(moves), least=least, strips_least=strips, moves_least=fewest)


def _parts(row: Sequence[int], pairs: Sequence[tuple[int, int]], hand: int) -> list[Part]:
    at = {u: i for i, u in enumerate(row)}
    goal, above = dict(at), dict.fromkeys(row, 0)
    for top, bottom in pairs:
        left, right = (top, bottom) if at[top] < at[bottom] else (bottom, top)
        goal[left] += 1
        goal[right] -= 1
        above[top] |= 1 << bottom
    parts, start, far = [], 0, -1
    for i, unit in enumerate(row):
        far = max(far, goal[unit])
        if far == i:
            if i > start:
                units = tuple(row[start : i + 1])
                parts.append(Part(row=units, goal=goal, over=above, hand=hand))
            start = i + 1
    return parts


def _least(part: Part) -> tuple[tuple[Move, ...], int]:
    """Moves of a part, and a floor for their cost."""
    if len(part.row) > MOST_BEAM:
        return _sweep(part), _floor(part, part.row)
    if len(part.row) > MOST_EXACT:
        return _beam(part), _floor(part, part.row)
    moves, floor = _exact(part)
    return (_beam(part) if moves is None else moves), floor


@dataclass(order=True)
class _Node:
    estimate: int
    left: int  # the floor of what is left: the deeper of two equals comes first
    row: Row
    spent: int = field(compare=False)
    moves: tuple[Move, ...] = field(compare=False)
    weighed: bool = field(compare=False, default=True)  # whether `left` is the full floor


def _exact(part: Part) -> tuple[tuple[Move, ...] | None, int]:
    """Least moves and their cost; None, and a floor, when the limit was reached."""
    floor = _floor(part, part.row)
    queue = [_Node(floor, floor, part.row, 0, ())]
    known = {part.row: 0}
    looked = 0
    while queue:
        node = heapq.heappop(queue)
        if not node.left:
            return node.moves, node.spent
        if node.spent > known[node.row]:
            continue
        if not node.weighed:  # the full floor only for rows whose turn has come
            left = _floor(part, node.row)
            if node.spent + left > node.estimate:
                estimate = node.spent + left
                heapq.heappush(queue, replace(node, estimate=estimate, left=left, weighed=True))
                continue
        looked += 1
        if looked > MOST_STATES:
            return None, node.estimate
        for move, after in _moves(part, node.row):
            spent = node.spent + move.cost
            if spent < known.get(after, spent + 1):
                known[after] = spent
                left = (HAND + STRIP) * _fewest_moves(part, after)
                estimate = max(spent + left, node.estimate)
                step = _Node(estimate, left, after, spent, (*node.moves, move), weighed=False)
                heapq.heappush(queue, step)
    raise AssertionError("single crossings always lead to the end")


def _beam(part: Part) -> tuple[Move, ...]:
    front = [_Node(0, _floor(part, part.row), part.row, 0, ())]
    best: _Node | None = None
    while front:
        seen: dict[Row, _Node] = {}
        for node in front:
            for move, after in _moves(part, node.row):
                spent = node.spent + move.cost
                if after in seen and seen[after].spent <= spent:
                    continue
                left = _floor(part, after)
                seen[after] = _Node(spent + left, left, after, spent, (*node.moves, move))
        ready = [node for node in seen.values() if not node.left]
        best = min([*ready, *([best] if best else [])], default=None)
        front = heapq.nsmallest(BEAM, (node for node in seen.values() if node.left))
        if best is not None:
            front = [node for node in front if node.estimate < best.estimate]
    if best is None:
        raise AssertionError("single crossings always lead to the end")
    return best.moves


def _sweep(part: Part) -> tuple[Move, ...]:
    """One strip after another passes as many neighbours as it can: quick, and far from least."""
    row, moves = list(part.row), []
    at = 0
    while at < len(row) - 1:
        unit, end = row[at], at + 1
        sign = _passes(part, unit, row[end])
        while sign and end < len(row) and _passes(part, unit, row[end]) == sign:
            end += 1
        if end == at + 1:
            at += 1
            continue
        passed = tuple(row[at + 1 : end])
        row[at:end] = [*passed, unit]
        moves.append(Move(hand=(unit,), passed=passed, over=sign > 0))
        at = max(at - 1, 0)
    return tuple(moves)


def _passes(part: Part, left: int, right: int) -> int:
    """1 when the left one has to pass over the right one, -1 under, 0 when they do not pass."""
    if part.goal[left] < part.goal[right]:
        return 0
    return 1 if part.over[left] >> right & 1 else -1


def _moves(part: Part, row: Row) -> Iterator[tuple[Move, Row]]:
    """Every move, and the row after it: two blocks side by side whose pairs all pass alike.

    In a long row only blocks that reach as far as they can.
    """
    widest_only = len(row) > MOST_EXACT
    for middle in range(1, len(row)):
        sign = _passes(part, row[middle - 1], row[middle])
        most = len(row) - middle if sign else 0
        for a in range(1, middle + 1):
            unit, reach = row[middle - a], 0
            while reach < most and _passes(part, unit, row[middle + reach]) == sign:
                reach += 1
            most = reach
            if not most or (widest_only and a > part.hand):
                break
            for b in (most,) if widest_only else range(1, most + 1):
                yield from _both(part, row, (middle - a, middle, middle + b), sign > 0)


def _both(
    part: Part, row: Row, cut: tuple[int, int, int], is_over: bool
) -> Iterator[tuple[Move, Row]]:
    start, middle, end = cut
    left, right = row[start:middle], row[middle:end]
    after = row[:start] + right + left + row[end:]
    if len(left) <= part.hand:
        yield Move(hand=left, passed=right, over=is_over), after
    if len(right) <= part.hand:
        yield Move(hand=right, passed=left, over=not is_over), after


def _floor(part: Part, row: Row) -> int:
    """What is left cannot cost less; nothing exactly when the row is at its end."""
    moves = _fewest_moves(part, row)
    if not moves:
        return 0
    strips = _strips(part, row)
    return HAND * max(moves, -(-strips // part.hand)) + STRIP * max(strips, moves)


def _fewest_moves(part: Part, row: Row) -> int:
    """A floor for the moves left: descents, and a third of the breakpoints."""
    ends = [part.goal[u] for u in row]
    descents = breaks = 0
    for a, b in pairwise(ends):
        descents += a > b
        breaks += b != a + 1
    breaks += (ends[0] != min(ends)) + (ends[-1] != max(ends))
    return max(descents, -(-breaks // 3))


def _strips(part: Part, row: Row) -> int:
    """Size of a largest matching of upper to lower strips of the crossings that are left."""
    goal, over = part.goal, part.over
    lower: dict[int, int] = {}
    open_: dict[int, int] = dict.fromkeys(row, 0)  # unit: whom it still has to pass over
    for j, unit in enumerate(row):
        for other in row[:j]:
            if goal[other] > goal[unit]:
                top, bottom = (other, unit) if over[other] >> unit & 1 else (unit, other)
                open_[top] |= 1 << bottom
    return sum(_matched(top, open_, lower, set()) for top in row if open_[top])


def _matched(top: int, open_: Mapping[int, int], lower: dict[int, int], seen: set[int]) -> bool:
    for bottom in bits(open_[top]):
        if bottom not in seen:
            seen.add(bottom)
            if bottom not in lower or _matched(lower[bottom], open_, lower, seen):
                lower[bottom] = top
                return True
    return False

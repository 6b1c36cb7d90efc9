"""Which strips of a layable pass are lifted out, in which hands, and in which order laid back?

Strips are lifted right out of the open batten and laid aside. What stays is a set of units none
of which lies over another; what must go under it is taken out below and laid from below, front to
back, and the rest from above, back to front. Of all such sets the one taken lifts the fewest
strips, then takes the fewest hands, then the fewest weight windows.

Strips that move as one hand are neighbours before and after, and have the same strips above them
and below them; if one of them can stay, all can. So each such group is one unit of weight
(strips, hands, weights) in a heaviest antichain, which is exact. The windows depend only on which
of the strips that keep their place are lifted: every choice of these is tried, up to a limit.
Source: derived. Checked: exhaustive search, tests/outside/test_handling.py.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, product

from crossfell.order.antichain import antichain_of
from crossfell.order.relation import bits, closure_of, layers_of, net_of, rows_of
from crossfell.plan.lays import Lay, runs_of
from crossfell.plan.windows import windows_of

MOST_WORK = 200_000  # choices × groups²: beyond that only one choice is tried


@dataclass(frozen=True, kw_only=True)
class Task:
    """A layable pass: crossings by unit, and the places before and after it."""

    over: Sequence[int]
    under: Sequence[int]
    before: Mapping[int, int]  # unit: place
    after: Mapping[int, int]
    moved: frozenset[int]  # units whose weight comes off in any case: turned, or moved in the place
    hand: int  # strips that one hand takes


@dataclass(frozen=True, kw_only=True)
class Lifted:
    """The lays of a pass; whether no other of as few strips and hands has fewer windows."""

    lays: tuple[Lay, ...]
    hands: int
    windows_proved: bool


class _Relation:
    """Who lies over whom in the pass, directly and through others."""

    def __init__(self, task: Task) -> None:
        pairs = net_of(task.over, task.under)
        n = len(task.before)
        self.rows = rows_of(n, [top for top, _ in pairs], [bottom for _, bottom in pairs])
        layers = layers_of(n, self.rows)
        if layers is None:
            raise AssertionError("a pass is layable by construction")
        self.upward = [u for layer in layers for u in layer]
        self.closed = closure_of(layers, self.rows)
        self.crossed = list(self.rows)
        for top, bottom in pairs:
            self.crossed[bottom] |= 1 << top


def lifted_out(task: Task) -> Lifted:
    """The lays of a pass with the least handling.

    What the moves do decides, not who makes them: units are numbered from the left, and the same
    moves of other units, in a later span or after the next edit, are not worked out again.
    """
    row = sorted(task.before, key=task.before.__getitem__)
    rank = {unit: i for i, unit in enumerate(row)}
    found = _worked_out(
        tuple([rank[u] for u in task.over]),
        tuple([rank[u] for u in task.under]),
        tuple([task.before[u] for u in row]),
        tuple([task.after[u] for u in row]),
        frozenset([rank[u] for u in task.moved]),
        task.hand,
    )
    lays = tuple([_named(lay, row) for lay in found.lays])
    return Lifted(lays=lays, hands=found.hands, windows_proved=found.windows_proved)


def _named(lay: Lay, row: Sequence[int]) -> Lay:
    """A lay of units numbered from the left, by the units that they are."""

    def units(ranks: Iterable[int]) -> tuple[int, ...]:
        return tuple([row[i] for i in ranks])

    return Lay(
        units=units(lay.units),
        from_places=lay.from_places,
        to_places=lay.to_places,
        crossed=tuple([units(run) for run in lay.crossed]),
        later_over=units(lay.later_over),
        later_under=units(lay.later_under),
        from_below=lay.from_below,
    )


@lru_cache(maxsize=1024)
def _worked_out(
    over: tuple[int, ...],
    under: tuple[int, ...],
    before: tuple[int, ...],
    after: tuple[int, ...],
    moved: frozenset[int],
    hand: int,
) -> Lifted:
    """The lays of a pass whose units are numbered from the left."""
    task = Task(
        over=over,
        under=under,
        before=dict(enumerate(before)),
        after=dict(enumerate(after)),
        moved=moved,
        hand=hand,
    )
    relation = _Relation(task)
    groups = _groups(task, relation)
    stay, proved = _staying(task, relation, groups)
    lays = tuple(_lays(task, relation, groups, stay))
    return Lifted(lays=lays, hands=len(lays), windows_proved=proved)


def _groups(task: Task, relation: _Relation) -> list[tuple[int, ...]]:
    """Units from the left, in groups that can move as one."""
    before, after = task.before, task.after
    row = sorted(before, key=before.__getitem__)
    groups = [[u] for u in row[:1]]
    for left, right in pairwise(row):
        alike = (
            before[right] - before[left] == after[right] - after[left] == 1
            and relation.rows[left] == relation.rows[right]
            and relation.crossed[left] == relation.crossed[right]
        )
        if alike:
            groups[-1].append(right)
        else:
            groups.append([right])
    return [tuple(group) for group in groups]


def _staying(
    task: Task, relation: _Relation, groups: Sequence[tuple[int, ...]]
) -> tuple[set[int], bool]:
    """Units that stay, and whether all choices were tried."""
    at = {u: number for number, group in enumerate(groups) for u in group}
    below = [
        sum(1 << number for number in {at[u] for u in bits(relation.closed[group[0]])})
        for group in groups
    ]
    open_ = [
        number
        for number, group in enumerate(groups)
        if relation.crossed[group[0]] and _keeps_its_place(task, group)
    ]
    step = 2 * len(task.before) + 1  # more than all that a lower aim can come to
    aims = [(len(group) * step + -(-len(group) // task.hand)) * step for group in groups]
    proved = 2 ** len(open_) * len(groups) ** 2 <= MOST_WORK or not open_
    choices = product((1, 0), repeat=len(open_)) if proved else [(1,) * len(open_)]
    best: tuple[int, int, set[int]] | None = None
    for choice in choices:
        weights = list(aims)
        for number, stays in zip(open_, choice, strict=True):
            weights[number] += 1 if stays else -1
        chain = antichain_of(below, weights)
        worth = sum(aims[number] for number in chain)
        stay = {u for number in chain for u in groups[number]}
        windows = _windows(task, stay)
        if best is None or (worth, -windows) > best[:2]:
            best = (worth, -windows, stay)
    if best is None:
        raise AssertionError("there is always a choice")
    return best[2], proved


def _keeps_its_place(task: Task, group: Sequence[int]) -> bool:
    return all(task.before[u] == task.after[u] and u not in task.moved for u in group)


def _windows(task: Task, stay: set[int]) -> int:
    """Windows of weights off and on."""
    still = {u for u in stay if task.before[u] == task.after[u] and u not in task.moved}
    total = 0
    for places in (task.before, task.after):
        on = [place for u, place in places.items() if u in still]
        off = [place for u, place in places.items() if u not in still]
        total += len(windows_of(off, task.hand, on))
    return total


def _lays(
    task: Task, relation: _Relation, groups: Sequence[tuple[int, ...]], stay: set[int]
) -> list[Lay]:
    below = 0
    for unit in stay:
        below |= relation.closed[unit]
    first = {group[0]: group for group in groups}
    upward = [first[u] for u in relation.upward if u in first and u not in stay]
    order = [group for group in reversed(upward) if below >> group[0] & 1]
    order += [group for group in upward if not below >> group[0] & 1]
    in_place = sorted(stay, key=task.after.__getitem__)
    there = sum(1 << u for u in stay)
    lays = []
    for group in order:
        for start in range(0, len(group), task.hand):
            units = group[start : start + task.hand]
            lays.append(_lay(task, relation, units, in_place, there, below))
            for unit in units:
                insort(in_place, unit, key=task.after.__getitem__)
                there |= 1 << unit
    return lays


def _lay(
    task: Task,
    relation: _Relation,
    units: tuple[int, ...],
    in_place: Sequence[int],
    there: int,
    below: int,
) -> Lay:
    crossed = relation.crossed[units[0]]
    later = sorted(bits(crossed & ~there), key=task.before.__getitem__)
    return Lay(
        units=units,
        from_places=tuple(task.before[u] for u in units),
        to_places=tuple(task.after[u] for u in units),
        crossed=runs_of(bits(crossed & there), in_place),
        later_over=tuple(u for u in later if not below >> u & 1),
        later_under=tuple(u for u in later if below >> u & 1),
        from_below=bool(below >> units[0] & 1),
    )

"""Who lies over whom on one stretch of the batten, which strips move as one, and which can stay?

What stays is a set of units none of which lies over another, directly or through others: an
antichain. Neighbours before and after, with the same strips above and below, move as one; if one
of them can stay, all can, so each such group is one weight in a heaviest antichain, which is exact.
Source: derived; Dilworth (1950). Checked: exhaustive search, tests/outside/test_handling.py.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from crossfell.order.antichain import antichain_of
from crossfell.order.relation import bits, closure_of, layers_of, rows_of
from crossfell.plan.motions import Prices

Group = tuple[int, ...]  # numbers from the left


@dataclass(frozen=True, kw_only=True)
class Task:
    """A layable set of crossings on one stretch; units are numbered over the whole piece."""

    pairs: Sequence[tuple[int, int]]  # (over, under), each two units at most once
    before: Mapping[int, int]  # unit: place
    after: Mapping[int, int]
    moved: frozenset[int]  # units whose weight comes off in any case: turned, or moved in the place
    hand: int  # strips that one hand takes


class Stretch:
    """The relation of a task in numbers of its own, 0 the leftmost unit."""

    def __init__(self, task: Task) -> None:
        self.task = task
        self.units = sorted(task.before, key=task.before.__getitem__)
        number = {unit: i for i, unit in enumerate(self.units)}
        self.start = [task.before[unit] for unit in self.units]
        self.end = [task.after[unit] for unit in self.units]
        pairs = [(number[top], number[bottom]) for top, bottom in task.pairs]
        n = len(self.units)
        self.over = rows_of(n, [top for top, _ in pairs], [bottom for _, bottom in pairs])
        self.under = rows_of(n, [bottom for _, bottom in pairs], [top for top, _ in pairs])
        layers = layers_of(n, self.over)
        if layers is None:
            raise AssertionError("a task is layable by construction")
        self.beneath = closure_of(layers, self.over)  # bit rows, directly or through others
        self.atop = _turned(self.beneath)
        self.upward = [u for layer in layers for u in layer]

    @cached_property
    def groups(self) -> list[Group]:
        """Numbers from the left, in groups that can move as one."""
        groups = [[0]] if self.units else []
        for left, right in pairwise(range(len(self.units))):
            together = self.start[right] - self.start[left] == self.end[right] - self.end[left] == 1
            alike = self.over[left] == self.over[right] and self.under[left] == self.under[right]
            if together and alike:
                groups[-1].append(right)
            else:
                groups.append([right])
        return [tuple(group) for group in groups]

    def keeps_its_weight(self, number: int) -> bool:
        """Whether its weight can stay on while the unit stays."""
        return self.start[number] == self.end[number] and self.units[number] not in self.task.moved


def choices(stretch: Stretch, prices: Prices) -> Iterator[frozenset[int]]:
    """Sets that can stay; the first lifts the fewest strips, then takes the fewest hands."""
    groups, hand = stretch.groups, stretch.task.hand
    at = {u: number for number, group in enumerate(groups) for u in group}
    below = [sum({1 << at[u] for u in bits(stretch.beneath[group[0]])}) for group in groups]
    step = 2 * len(stretch.units) + 1  # more than all that a lower aim can come to
    hands = [-(-len(group) // hand) for group in groups]
    fewest = [len(group) * step + count for group, count in zip(groups, hands, strict=True)]
    quick = [
        round(1000 * (count * prices.hand - _sliding(stretch, group, prices)))
        for group, count in zip(groups, hands, strict=True)
    ]
    seen: set[frozenset[int]] = set()
    for weights in (fewest, quick):
        for relation in (below, _turned(below)):
            chain = antichain_of(relation, [max(1, weight) for weight in weights])
            stay = frozenset(u for number in chain for u in groups[number])
            if stay not in seen:
                seen.add(stay)
                yield stay


def _turned(rows: Sequence[int]) -> list[int]:
    """Bit rows of a relation the other way round."""
    turned = [0] * len(rows)
    for top, row in enumerate(rows):
        for bottom in bits(row):
            turned[bottom] |= 1 << top
    return turned


def _sliding(stretch: Stretch, group: Group, prices: Prices) -> float:
    """Minutes that a group costs by staying, less those of weights that stay on."""
    if stretch.start[group[0]] != stretch.end[group[0]]:
        return prices.slide
    kept = sum(map(stretch.keeps_its_weight, group))
    return -prices.window * kept / stretch.task.hand

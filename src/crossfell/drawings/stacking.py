"""In which order are the ribbons of one span drawn, so that over lies over under?

A layable span has one order, back to front. An interlaced one has none: its ribbons are drawn in
the order that breaks fewest crossings, and each broken one is drawn once more inside the outline
of the ribbon that it must cover.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

from crossfell.order.model import SpanOrder
from crossfell.order.relation import net_of


@dataclass(frozen=True, slots=True)
class Stack:
    """Units back to front, then (over, under) pairs to mend."""

    units: tuple[int, ...]
    mend: tuple[tuple[int, int], ...]


def stack_of(
    span: SpanOrder, units: int, *, back: bool, rank: Sequence[int] | None = None
) -> Stack:
    """The order of drawing of a span, seen from the front or from the back.

    Where the order is free, units come by their `rank` [units]; by their number without it.
    """
    rank = range(units) if rank is None else rank
    if span.layers is not None:
        flat = [unit for layer in span.layers for unit in sorted(layer, key=rank.__getitem__)]
        laid = set(flat)
        alone = sorted((u for u in range(units) if u not in laid), key=rank.__getitem__)
        flat = alone + flat
        return Stack(tuple(reversed(flat) if back else flat), ())
    over = [(b, a) if back else (a, b) for a, b in _standing(span)]
    flat = _least_broken(over, rank)
    at = {unit: i for i, unit in enumerate(flat)}
    broken = sorted({(a, b) for a, b in over if at[a] < at[b]}, key=lambda p: (at[p[0]], at[p[1]]))
    return Stack(tuple(flat), tuple(broken))


def levels_of(span: SpanOrder, units: int, *, back: bool) -> tuple[list[bool], list[bool]]:
    """For each unit, whether it passes over somebody and whether under, as seen.

    A crossing that another of the same span undoes is not there.
    """
    over, under = [False] * units, [False] * units
    for a, b in _standing(span):
        over[a] = True
        under[b] = True
    return (under, over) if back else (over, under)


def _standing(span: SpanOrder) -> list[tuple[int, int]]:
    """Crossings (over, under) that no other crossing of the span undoes."""
    left = sorted(i for part in span.passes for i in part)
    over, under = ([int(side[i]) for i in left] for side in (span.over, span.under))
    return net_of(over, under) if span.layable else list(zip(over, under, strict=True))


def _least_broken(over: list[tuple[int, int]], rank: Sequence[int]) -> list[int]:
    """Take again and again the unit that is over the fewest that are still to come (greedy)."""
    pairs = set(over)
    above: list[list[int]] = [[] for _ in rank]
    below = [0] * len(rank)
    for a, b in pairs:
        above[b].append(a)
        below[a] += 1
    waiting = [(count, rank[unit], unit) for unit, count in enumerate(below)]
    heapify(waiting)
    laid, flat = [False] * len(rank), []
    while waiting:
        count, _, unit = heappop(waiting)
        if laid[unit] or count != below[unit]:
            continue  # it has been told again since, over fewer
        laid[unit] = True
        flat.append(unit)
        for other in above[unit]:
            below[other] -= 1
            if not laid[other]:
                heappush(waiting, (below[other], rank[other], other))
    return flat

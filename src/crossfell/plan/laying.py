"""In which order are the lifted strips of a span laid?

Strips are lifted right out of the open batten and laid back. What stays is a largest set of units
none of which lies over another; what must go under it is taken out below and laid from below,
front to back, and the rest from above, back to front. An interlaced span is laid in passes.
"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.order.model import Order, SpanOrder
from crossfell.order.relation import antichain_of, bits, closure_of, layers_of, rows_of


@dataclass(frozen=True, kw_only=True)
class Lay:
    """One strip put down."""

    unit: int
    from_place: int
    to_place: int
    over: tuple[int, ...]  # units in place that it crosses over
    under: tuple[int, ...]  # units in place that it crosses under
    later_over: tuple[int, ...]  # units still lifted that will come over it
    later_under: tuple[int, ...]  # units still lifted that will come under it
    from_below: bool


@dataclass(frozen=True, kw_only=True)
class Pass:
    """Lifts and lays that leave a layable part of a span done."""

    lays: tuple[Lay, ...]
    slides: tuple[tuple[int, int, int], ...]  # unit that stays, from place, to place
    after: tuple[int, ...]  # units from the left when it is done


def passes_of_span(order: Order, k: int) -> tuple[Pass, ...]:
    """The passes of span k (index from 0); none when nothing crosses."""
    span = order.spans[k]
    row = sorted(range(len(order.names)), key=lambda u: (order.place[k, u], order.offset_mm[k, u]))
    final = order.place[k + 1]
    places = sorted(order.place[k].tolist())
    out = []
    for number, part in enumerate(span.passes):
        last = number == len(span.passes) - 1
        before = dict(zip(row, places, strict=True))
        if number == 0:
            before = {u: int(order.place[k, u]) for u in row}
        for index in part:
            i, j = row.index(int(span.over[index])), row.index(int(span.under[index]))
            row[i], row[j] = row[j], row[i]
        after = {u: int(final[u]) for u in row} if last else dict(zip(row, places, strict=True))
        lays = _lays(span, part, before, after)
        lifted = {lay.unit for lay in lays}
        slides = tuple(
            (u, before[u], after[u]) for u in row if u not in lifted and before[u] != after[u]
        )
        out.append(Pass(lays=lays, slides=slides, after=tuple(row)))
    return tuple(out)


def _lays(
    span: SpanOrder, part: tuple[int, ...], before: dict[int, int], after: dict[int, int]
) -> tuple[Lay, ...]:
    n = len(before)
    over = [int(span.over[i]) for i in part]
    under = [int(span.under[i]) for i in part]
    rows = rows_of(n, over, under)
    layers = layers_of(n, rows)
    if layers is None:
        raise AssertionError("a pass is layable by construction")
    closed = closure_of(layers, rows)
    stay = set(antichain_of(closed))
    below = 0
    for unit in stay:
        below |= closed[unit]
    upward = [u for layer in layers for u in layer if u not in stay]
    from_below = [u for u in reversed(upward) if below >> u & 1]
    from_above = [u for u in upward if not below >> u & 1]
    crossed = list(rows)
    for top in range(n):
        for bottom in bits(rows[top]):
            crossed[bottom] |= 1 << top
    in_place = sum(1 << u for u in stay)
    lays = []
    for u in (*from_below, *from_above):
        now = tuple(sorted(bits(crossed[u] & in_place), key=before.__getitem__))
        later = sorted(bits(crossed[u] & ~in_place), key=before.__getitem__)
        is_below = bool(below >> u & 1)
        lays.append(
            Lay(
                unit=u,
                from_place=before[u],
                to_place=after[u],
                over=() if is_below else now,
                under=now if is_below else (),
                later_over=tuple(v for v in later if not below >> v & 1),
                later_under=tuple(v for v in later if below >> v & 1),
                from_below=is_below,
            )
        )
        in_place |= 1 << u
    return tuple(lays)

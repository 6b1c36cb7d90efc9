"""Where does a span do something, and which stretches of its places belong into one picture?"""

from __future__ import annotations

from crossfell.piece import Piece

Stretch = tuple[int, int]  # first and last place


def busy_stretches(piece: Piece, index: int) -> tuple[Stretch, ...]:
    """Least stretches of places whose units change among themselves in a span (index from 0)."""
    order, span = piece.order, piece.order.spans[index]
    before, after = order.place[index].tolist(), order.place[index + 1].tolist()
    moved = (before[u] != after[u] for u in range(len(before)))
    aside = order.offset_mm[index] != order.offset_mm[index + 1]
    busy = {u for u, yes in enumerate(moved) if yes} | set(aside.nonzero()[0].tolist())
    busy |= set(span.half_turns.nonzero()[0].tolist())
    busy |= set(span.over.tolist()) | set(span.under.tolist())
    reaches = sorted(sorted((before[u], after[u])) for u in busy)
    joined: list[list[int]] = []
    for first, last in reaches:
        if joined and first <= joined[-1][1]:
            joined[-1][1] = max(joined[-1][1], last)
        else:
            joined.append([first, last])
    return tuple((first, last) for first, last in joined)


def windows(piece: Piece, index: int, most: int) -> tuple[Stretch, ...]:
    """Stretches to draw: busy ones, with a quiet place at each side, together up to `most` places.

    A busy stretch that is longer is cut into pictures that follow each other. A span that does
    nothing has none.
    """
    count = piece.draft.place_count
    stretches = busy_stretches(piece, index)
    busy = {place for first, last in stretches for place in range(first, last + 1)}
    out: list[Stretch] = []
    for first, last in stretches:
        left = first - (first > 1 and first - 1 not in busy)
        right = last + (last < count and last + 1 not in busy)
        if out and right - out[-1][0] < most:
            out[-1] = (out[-1][0], right)
        else:
            out += _cut(left, right, most)
    return tuple(out)


def _cut(first: int, last: int, most: int) -> list[Stretch]:
    """A stretch in as few parts as it takes, all about as long."""
    places = last - first + 1
    size = -(-places // -(-places // most))
    return [(at, min(at + size - 1, last)) for at in range(first, last + 1, size)]

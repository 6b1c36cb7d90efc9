"""Who meets whom, and at which height of a span?

Centre lines run straight from band to band; where two of them change sides they meet. A span that
is laid in several passes takes its shape from them: the height is shared equally among them, and
after each pass the units stand in the order that it leaves, spread evenly between where that row
begins and where it ends. Crossings that undo each other are left out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.order.model import Floats, Ints, Order, SpanOrder


@dataclass(frozen=True, kw_only=True)
class Meetings:
    """All meetings of a piece, in the order of spans. Arrays are [meetings]."""

    span: Ints  # index of the span
    over: Ints  # unit in front
    under: Ints  # unit behind
    at: Floats  # share of the span's height, 0 at its first-woven band, 1 at its last
    bends: tuple[Bends, ...]  # [spans] corners of the centre lines; none where they are straight


@dataclass(frozen=True, kw_only=True)
class Bends:
    """Corners of the centre lines of a span; an interlaced one has some between its passes."""

    at: Floats  # [corners] share of the height
    x_mm: Floats  # [corners, units]


def meetings_of(order: Order, x_mm: Floats) -> Meetings:
    """Find every meeting of a piece; `x_mm` is [bands, units]. Linear in the crossings."""
    found, bends = [], []
    straight = Bends(at=np.zeros(0), x_mm=np.zeros((0, x_mm.shape[1])))
    for k, span in enumerate(order.spans):
        if len(span.passes) < 2:
            real = np.array([i for crossings in span.passes for i in crossings], dtype=np.int64)
            found.append(_straight(span.over[real], span.under[real], x_mm[k], x_mm[k + 1]))
            bends.append(straight)
        else:
            part, corners = _in_passes(span, x_mm[k], x_mm[k + 1])
            found.append(part)
            bends.append(corners)
    counts = [len(over) for over, _, _ in found]
    columns = (
        [np.concatenate(column) for column in zip(*found, strict=True)]
        if found
        else [np.zeros(0, int), np.zeros(0, int), np.zeros(0)]
    )
    over, under, at = columns
    return Meetings(
        span=np.repeat(np.arange(len(found)), counts),
        over=over,
        under=under,
        at=at,
        bends=tuple(bends),
    )


def _straight(over: Ints, under: Ints, below: Floats, above: Floats) -> tuple[Ints, Ints, Floats]:
    """Meetings of straight lines: crossings that undo each other are in no pass and not here."""
    start = below[over] - below[under]
    end = above[over] - above[under]
    real = start * end < 0
    start, end = start[real], end[real]
    return over[real], under[real], start / (start - end)


def _in_passes(
    span: SpanOrder, below: Floats, above: Floats
) -> tuple[tuple[Ints, Ints, Floats], Bends]:
    """Meetings of an interlaced span, pass after pass, and the corners between them."""
    first, last = np.sort(below), np.sort(above)
    rank = np.empty(len(below), dtype=np.int64)
    rank[np.argsort(below, kind="stable")] = np.arange(len(below))
    count = len(span.passes)
    rows, parts = [below], []
    for j, crossings in enumerate(span.passes, 1):
        chosen = np.array(crossings, dtype=np.int64)
        for over, under in zip(span.over[chosen], span.under[chosen], strict=True):
            rank[over], rank[under] = rank[under], rank[over]
        share = j / count
        rows.append(above if j == count else (1 - share) * first[rank] + share * last[rank])
        over, under, at = _straight(span.over[chosen], span.under[chosen], rows[-2], rows[-1])
        parts.append((over, under, (j - 1 + at) / count))
    over, under, at = (np.concatenate(column) for column in zip(*parts, strict=True))
    corners = Bends(at=np.arange(1, count) / count, x_mm=np.array(rows[1:-1]))
    return (over, under, at), corners

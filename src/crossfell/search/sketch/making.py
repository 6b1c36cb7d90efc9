"""Which draft comes of a picture and her wishes, and what is there to say about it?"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from crossfell.base.frame import on_wall
from crossfell.base.notes import Severity
from crossfell.draft.reader import read_draft
from crossfell.paths.findings import least_height_mm
from crossfell.piece import Piece
from crossfell.search.sketch.asked import Ask, Floats, asked, beyond_counts, wrong_cells
from crossfell.search.sketch.picture import Cells
from crossfell.search.sketch.program import Taste
from crossfell.search.sketch.solving import PricedGrid, Said, solved
from crossfell.search.sketch.wishes import GAP, Means, Wishes
from crossfell.search.sketch.writing import Warping, spans_of, written

ROUND_MM = 5  # heights that are raised end on a multiple of this
ROUNDS = 4  # of raising heights and bracing; each finds less to do


@dataclass(frozen=True, kw_only=True)
class Sketched:
    """A draft made of a picture."""

    text: str
    piece: Piece
    ask: Ask
    answer: PricedGrid
    means: Means
    raised: tuple[int, ...]  # numbers of spans that had to be higher than asked
    braced: tuple[int, ...]  # numbers of spans in which two units cross only to hold


def ask_of(cells: Cells, means: Means, woven_from: str) -> Ask:
    """What cells ask of her means: bands as they are woven, places from the weaver's left."""
    turned = turned_of(woven_from)
    return asked(cells.light[turned], cells.matters[turned], means.colours, means.counts,
                 reach=means.reach, free=means.free)  # fmt: skip


def turned_of(woven_from: str) -> tuple[slice, slice]:
    """What turns rows as they hang into bands as they are woven, and back."""
    wall = on_wall(0, woven_from)
    return wall.downwards, slice(None, None, wall.across)


def sketched(
    cells: Cells, means: Means, wishes: Wishes, taste: Taste, said: Said,
    *, bound: bool | None = None, brace: bool = False,
) -> Sketched:  # fmt: skip
    """Solve a sketch and write it as a draft that holds."""
    ask = ask_of(cells, means, wishes.woven_from)
    answer = solved(ask, taste, said, bound=bound)
    return drafted(ask, answer, means, wishes, brace=brace)


def drafted(ask: Ask, answer: PricedGrid, means: Means, wishes: Wishes, *, brace: bool) -> Sketched:
    """The draft of a solved sketch: spans are raised and braced until nothing is doubtful."""
    spans = len(answer.shown) - 1
    heights = np.full(spans, wishes.height_mm)
    braced = frozenset(range(spans)) if brace else frozenset[int]()
    for _ in range(ROUNDS):
        text, piece, idle = _draft(ask, answer, means, wishes, heights, braced)
        if not any(note.severity is Severity.DOUBT for note in piece.notes):
            break
        needed = [least_height_mm(piece.paths, k, means.limit_rad) for k in range(spans)]
        higher = np.maximum(heights, [ROUND_MM * math.ceil(h / ROUND_MM) for h in needed])
        swings = {hold.number - 1 for hold in piece.holds if not hold.holds}
        if (higher == heights).all() and swings <= braced:
            break
        heights, braced = higher, braced | swings
    return Sketched(
        text=text, piece=piece, ask=ask, answer=answer, means=means,
        raised=tuple(int(k) + 1 for k in np.flatnonzero(heights > wishes.height_mm)),
        braced=tuple(sorted(k + 1 for k in idle if k in braced)),
    )  # fmt: skip


def _draft(
    ask: Ask,
    answer: PricedGrid,
    means: Means,
    wishes: Wishes,
    heights: Floats,
    braced: frozenset[int],
) -> tuple[str, Piece, set[int]]:
    shown = answer.shown
    plain = spans_of(shown, ask.counts, means.free, means.front)
    spans = spans_of(shown, ask.counts, means.free, means.front, tuple(braced))
    warping = Warping(
        title=wishes.title, tables=means.tables, names=means.names, strip=means.strip,
        ends=means.ends, pitch_mm=means.pitch_mm, woven_from=wishes.woven_from,
        rods=("steel 3", "steel 6"),
    )  # fmt: skip
    text = written(warping, shown, spans, means.front, heights.tolist())
    piece = Piece(read_draft(text, workshop=means.workshop))
    return text, piece, {k for k, moves in enumerate(plain) if not moves and spans[k]}


def told(made: Sketched, wishes: Wishes) -> list[str]:
    """What the picture asks, what her units can say of it, and what it takes to make."""
    ask, answer, means, piece = made.ask, made.answer, made.means, made.piece
    lines = shown_told(ask, answer, means, wishes)
    if made.raised:
        most = max(span.height_mm for span in piece.draft.spans)
        lines.append(f"Spans {_numbers(made.raised)} are higher, up to {most:g} mm: units that "
                     "pass over each other need the room.")  # fmt: skip
    if made.braced:
        lines.append(f"Spans {_numbers(made.braced)} have two units of one colour that cross: "
                     "they hold it, and leave the colours as they are.")  # fmt: skip
    return lines + _made_told(piece)


def shown_told(ask: Ask, answer: PricedGrid, means: Means, wishes: Wishes) -> list[str]:
    """What the picture asks, and what her units can say of it."""
    lean = math.degrees(math.atan(means.reach * means.pitch_mm / wishes.height_mm))
    return [
        f"A unit moves at most {means.reach} places, {means.reach * means.pitch_mm:g} mm, in a "
        f"span of {wishes.height_mm:g} mm: {lean:.0f}°, and the limit is "
        f"{math.degrees(means.limit_rad):.0f}°.",
        *_counts_told(ask, means),
        f"{wrong_cells(ask, answer.shown)} of {answer.shown.size} cells differ from the picture; "
        f"{int(beyond_counts(ask)[1].sum())} of them must, in any order.",
        f"Gathered as the picture asks: {_sure(answer)}.",
    ]


def _counts_told(ask: Ask, means: Means) -> list[str]:
    wanted, beyond = beyond_counts(ask)
    lines = []
    for c, name in enumerate(means.names):
        who = "open places" if name == GAP else f"{name} units"
        low, high = int(wanted[:, c].min()), int(wanted[:, c].max())
        asks = f"{low}" if low == high else f"{low} to {high}"
        line = f"The picture asks for {asks} {who}; you have {ask.counts[c]} in every band"
        bands = [int(t) + 1 for t in np.flatnonzero(beyond[:, c])]
        lines.append(line + (f": too few in bands {_numbers(bands)}." if bands else "."))
    return lines


def _sure(answer: PricedGrid) -> str:
    if answer.proved:
        return "proved best"
    if answer.gap is None:
        return "improved stretch by stretch; how far from the best was not asked"
    return f"within {100 * answer.gap:.2g} % of the best there can be"


def _made_told(piece: Piece) -> list[str]:
    lifted = sum(span.lifted for span in piece.order.spans)
    quote, hung = piece.quote(), piece.hung
    swings = [hold.number for hold in piece.holds if not hold.holds]
    price = (
        f", {quote.amount(quote.lines[-1].likely)} {quote.currency}" if not quote.missing else ""
    )
    return [
        f"{lifted} strips lifted in {len(piece.draft.spans)} spans; "
        f"{quote.hours[1]:.1f} hours{price}.",
        f"Spans {_numbers(swings)} swing: a brace or other counts." if swings
        else "Every span holds"
        + (f"; the loosest rod moves {hung.loosest_mm_per_n:.0f} mm per newton aside."
           if hung.converged else "."),
    ]  # fmt: skip


def _numbers(numbers: tuple[int, ...] | list[int]) -> str:
    parts: list[tuple[int, int]] = []
    for k in numbers:
        if parts and parts[-1][1] == k - 1:
            parts[-1] = parts[-1][0], k
        else:
            parts.append((k, k))
    return ", ".join(f"{a}" if a == b else f"{a}–{b}" for a, b in parts)

"""How is a figure written in a draft, laid to be looked at, and recognised again?"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from crossfell.base.notes import Severity
from crossfell.draft.model import Draft, Turn
from crossfell.draft.reader import read_draft
from crossfell.order.stage import order_of
from crossfell.piece import Piece
from crossfell.search.figures.counting import (
    Ends,
    Figures,
    TooManyError,
    figures_of,
    form_of,
    starts,
    views,
)
from crossfell.search.figures.ranking import openness
from crossfell.search.figures.spans import Spans, spans_of, turned_over
from crossfell.search.sketch.laying import moves_between

_NAME = re.compile(r"f(\d)x(\d)r(\d)(m?)n(\d+)")
REPEATS = 2  # a figure is shown so often, one above the other
VIEWS = ("", "over for under", "upside down", "upside down and over for under", "mirrored",
         "mirrored and over for under", "mirrored and upside down",
         "mirrored, upside down and over for under")  # fmt: skip
INKS = ("#a85432", "#3f4f5c", "#d9d2c0", "#5b6b4a")


def moves_of(spans: Spans, number: int) -> list[str]:
    """Moves of a span of the table."""
    way = spans.to[number]
    after = np.empty(spans.places, dtype=np.int64)
    after[list(way)] = np.arange(spans.places)
    return moves_between(np.arange(spans.places), after, _heights(spans, number))


def _heights(spans: Spans, number: int) -> dict[int, int]:
    """A height for each place, greater where its unit passes over."""
    over = spans.over[number]
    height = dict.fromkeys(range(spans.places), 0)
    for _ in range(spans.places):
        for a, b in over:
            height[a] = max(height[a], height[b] + 1)
    return height


def fragment(spans: Spans, row: Sequence[int], name: str) -> str:
    """A figure as a table of a draft."""
    rows = ",\n".join(f'  "{", ".join(moves_of(spans, int(s)))}"' for s in row)
    return f"[figure.{name}]\nplaces = {spans.places}\nspans  = [\n{rows},\n]\n"


@dataclass(frozen=True)
class Size:
    """Which figures are looked through."""

    places: int
    spans: int
    reach: int = 2
    ends: Ends = "closed"

    def name(self, number: int) -> str:
        """The name of a figure: its size, and its number in the list of all."""
        turned = "m" if self.ends == "mirrored" else ""
        return f"f{self.places}x{self.spans}r{self.reach}{turned}n{number}"


def named(name: str) -> tuple[Size, int] | None:
    """The size and the number of a figure by its name."""
    read = _NAME.fullmatch(name)
    if not read:
        return None
    ends = "mirrored" if read[4] else "closed"
    return Size(int(read[1]), int(read[2]), int(read[3]), ends), int(read[5])


def every(size: Size) -> tuple[Figures, bool]:
    """All figures of a size, and whether only spans that are the same from behind were taken.

    Errors: TooManyError when even those are too many.
    """
    spans = spans_of(size.places, size.reach)
    try:
        return figures_of(spans, size.spans, size.ends), False
    except TooManyError:
        return figures_of(turned_over(spans), size.spans, size.ends), True


@dataclass(frozen=True)
class LaidFigure:
    """A figure laid a few times in a piece, and what she wants to know of it."""

    name: str
    row: tuple[int, ...]
    piece: Piece
    lifted: float  # strips lifted a span
    minutes: float  # at the loom, a span
    lean_rad: float
    open: float  # share of the open warp through which the wall is seen
    says: str  # its symmetry


def laid(figures: Figures, number: int, size: Size, height_mm: float = 130) -> LaidFigure:
    """A figure laid in a small piece of its own."""
    spans, row = figures.spans, figures.rows[number]
    name = size.name(number)
    text = piece_text(spans, row, name, size.ends, height_mm)
    piece = Piece(read_draft(text))
    wrong = [*piece.draft.notes, *piece.order.notes]  # how it hangs is known: its spans balance
    if any(note.severity is Severity.ERROR for note in wrong):
        raise AssertionError(f"{name} cannot be laid: {wrong[0].message}")
    count = len(piece.draft.spans)
    return LaidFigure(
        name=name,
        row=tuple(int(s) for s in row),
        piece=piece,
        lifted=sum(span.lifted for span in piece.order.spans) / count,
        minutes=piece.plan.minutes / count,
        lean_rad=float(piece.paths.max_lean_rad.max()),
        open=float(np.mean([openness(spans.to[int(s)]) for s in row])),
        says="symmetric" if figures.symmetric[number] else "",
    )


def piece_text(spans: Spans, row: Sequence[int], name: str, ends: Ends, height_mm: float) -> str:
    """A draft with a figure laid a few times; a unit and its mirror image share a colour."""
    n, k = spans.places, len(row)
    colours = [min(p, n - 1 - p) % len(INKS) for p in range(n)]
    yarns = "".join(
        f'[yarn.y{c}]\ncount = "tex 207"\nfibre = "linen"\ncolour = "{ink}"\n'
        f'[unit.u{c}]\nstrip = "inch"\nends = "18 y{c}"\n'
        for c, ink in enumerate(INKS[: max(colours) + 1])
    )
    order = " ".join(f"u{c}" for c in colours)
    out = [f'[piece]\ntitle = "{name}"\n{yarns}[strip.inch]\nwidth = "1 in"\ndents = 18\n'
           f'[warp]\npitch = 28\norder = "{order}"\n[band]\nrod = "steel 3"\n',
           fragment(spans, row, name)]  # fmt: skip
    for repeat in range(REPEATS):
        turned = " mirrored" if ends != "closed" and repeat % 2 else ""
        for at in range(k):
            moves = f'moves = "{name} at 1{turned}"\n' if at == 0 else ""
            out.append(f"[[span]]\nheight = {height_mm:g}\n{moves}")
    return "".join(out)


def recognised(figures: Figures, row: Sequence[int], ends: Ends) -> tuple[int, str] | None:
    """Number of a figure, and how it is seen, of a row of spans; None when it is none of them."""
    own = np.array([row], dtype=np.int64)
    form = form_of(figures.spans, own, ends)[0]
    at = np.flatnonzero((figures.rows == form).all(axis=1))
    if not len(at):
        return None
    found = figures.rows[at]
    for says, seen in zip(VIEWS, views(figures.spans, found), strict=True):
        if any((begun == own).all() for begun in starts(figures.spans, seen, ends)):
            return int(at[0]), says
    raise AssertionError("a figure of this form has no such view")


def row_of(spans: Spans, draft: Draft, name: str) -> list[int] | None:
    """A figure of a draft as numbers of the table; None when one of its spans is not in it."""
    text = piece_of_figure(draft, name, spans.places)
    if text is None or text.notes:
        return None
    order = order_of(text)
    numbers = {(to, over): s for s, (to, over) in enumerate(zip(spans.to, spans.over, strict=True))}
    row = []
    for k, span in enumerate(text.spans):
        if any(isinstance(move, Turn) for move in span.moves):
            return None
        before, after = order.by_place(k, spans.places), order.by_place(k + 1, spans.places)
        place = {unit: at for at, unit in enumerate(before)}
        to = tuple(after.index(unit) for unit in before)
        shape = order.spans[k]
        over = frozenset((place[a], place[b]) for a, b in zip(shape.over, shape.under, strict=True))
        if (to, over) not in numbers:
            return None
        row.append(numbers[to, over])
    return row


def piece_of_figure(draft: Draft, name: str, places: int) -> Draft | None:
    """A small draft in which a figure of another is laid once; None when there is none."""
    figure = draft.laid_out.figures.get(name) if draft.laid_out else None
    if figure is None:
        return None
    spans = "\n".join(f"  {', '.join(line.text for line in lines)!r}," for lines in figure.spans)
    body = "".join("[[span]]\nheight = 400\n" + (f'moves = "{name} at 1"\n' if k == 0 else "")
                   for k in range(len(figure.spans)))  # fmt: skip
    return read_draft(
        '[yarn.y]\ncount = "tex 200"\n[strip.s]\nwidth = 25\ndents = 4\n[unit.u]\nstrip = "s"\n'
        f'ends = "4 y"\n[warp]\npitch = 28\norder = "u*{places}"\n[band]\nrod = "steel 3"\n'
        f"[figure.{name}]\nplaces = {places}\nspans = [\n{spans}\n]\n{body}"
    )

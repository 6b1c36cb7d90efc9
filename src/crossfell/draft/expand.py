"""What happens in each span once figures are laid out and plaits written as crossings?

Order within a span: first what runs on from figures of earlier spans, in the order they began,
then the span's own moves. Columns and lines point at the text that the maker wrote.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

from crossfell.base.nearest import meant
from crossfell.base.notes import Note, Where, error
from crossfell.draft.model import Cross, Move, Roll, Shift, Turn
from crossfell.draft.moves import (
    CrossText,
    FigureText,
    MoveText,
    PlaitText,
    ShiftText,
    TurnText,
    Unread,
    parsed,
)
from crossfell.draft.whereabouts import Passage

MOST_WRONG = 100  # moves that make no sense; the rest is not looked at
MOST_MOVES = 200_000  # of the whole draft, written out
DEEPEST = 100  # figures within figures


@dataclass(frozen=True, slots=True)
class Line:
    """One line of moves and where its first character stands."""

    text: str
    where: Where


@dataclass(frozen=True, slots=True)
class Figure:
    """A named run of spans, as text."""

    name: str
    places: int
    spans: tuple[tuple[Line, ...], ...]
    where: Where


@dataclass(frozen=True, slots=True)
class Laid:
    """What a passage without mistakes comes to when it begins in this line."""

    line: int
    rows: tuple[tuple[Move, ...], ...]

    def at(self, line: int) -> Laid:
        """The same further up or down."""
        by = line - self.line
        if not by:
            return self
        return Laid(line, tuple(tuple([_lowered(move, by) for move in row]) for row in self.rows))


@dataclass(frozen=True, slots=True)
class LaidOut:
    """All passages of a draft without mistakes, by their text and column, and what they hang on."""

    figures: Mapping[str, Figure]
    places: int
    passages: Mapping[tuple[str, int], Laid]


class Expansion:
    """Lays out the moves of a draft, collecting what is wrong.

    `former` is what was laid out of the draft before an edit: it is only moved.
    """

    def __init__(
        self, figures: Mapping[str, Figure], places: int, former: LaidOut | None = None
    ) -> None:
        self.figures = figures
        self.places = places
        self._passages: dict[tuple[str, int], Laid] = {}
        alike = former and former.places == places and _texts(former.figures) == _texts(figures)
        self._former = former.passages if former and alike else {}
        self.notes: list[Note] = []
        self._count = 0  # moves of the spans; before, of the figures within others
        self._full = False
        self._tired = False
        self._known: dict[str, tuple[tuple[Move, ...], ...] | None] = {}

    def spans(self, texts: Sequence[Passage]) -> tuple[tuple[Move, ...], ...]:
        """Moves of every span; `texts` has each span's own."""
        out: list[list[Move]] = [[] for _ in texts]
        for k, passage in enumerate(texts):
            room = len(texts) - k
            rows = self._again(passage, room) or self._written(passage, room)
            for later, row in enumerate(rows):
                out[k + later] += row
            if self._full:
                break
        return tuple(map(tuple, out))

    def laid_out(self) -> LaidOut:
        """What was laid out without mistakes."""
        return LaidOut(self.figures, self.places, MappingProxyType(self._passages))

    def _written(self, passage: Passage, room: int) -> Sequence[Sequence[Move]]:
        """Rows of a passage: its own span's, and those of the spans that it runs on to."""
        rows: list[list[Move]] = []
        noted = len(self.notes)
        for step, where in self._steps([Line(*row) for row in passage.lines()]):
            laid = self._laid(step, where, ())
            if self._full:
                return rows
            if len(laid) > room:
                self._refuse_long(step, where, len(laid), room)
                laid = laid[:room]
            rows += [[] for _ in range(len(laid) - len(rows))]
            for later, more in enumerate(laid):
                rows[later] += more
        if len(self.notes) == noted:
            self._passages[_name(passage)] = Laid(passage.where.line, tuple(map(tuple, rows)))
        return rows

    def _again(self, passage: Passage, room: int) -> Sequence[Sequence[Move]] | None:
        """Rows of a passage that was written out before, moved to where it stands now."""
        name = _name(passage)
        found = self._passages.get(name) or self._former.get(name)
        if found is None or len(found.rows) > room or len(self.notes) >= MOST_WRONG:
            return None
        count = sum(map(len, found.rows))
        if self._count + count > MOST_MOVES:
            return None
        self._count += count
        laid = self._passages[name] = found.at(passage.where.line)
        return laid.rows

    def check_figures(self) -> None:
        """Read every figure once, so that an unused one is checked too."""
        for figure in self.figures.values():
            self._rows_of(figure, ())
        self._count = 0

    def _has_room(self, rows: Sequence[Sequence[Move]], where: Where) -> bool:
        """Count moves that are about to be laid; note once when they become too many."""
        self._count += sum(map(len, rows))
        if self._count > MOST_MOVES and not self._full:
            self._full = True
            self.notes.append(error("too-many-moves", where, most=MOST_MOVES))
        return not self._full

    def _steps(
        self, lines: Sequence[Line], figure: Figure | None = None
    ) -> list[tuple[MoveText, Where]]:
        steps: list[tuple[MoveText, Where]] = []
        for line in lines:
            if self._given_up(line.where):
                return steps
            read = parsed(line.text)
            if isinstance(read, Unread):
                where = _at(line.where, read.column, read.length)
                facts = {"found": read.found, "expected": read.expected}
                self.notes.append(error("not-a-move", where, **facts))
                continue
            for step in read:
                where = _at(line.where, step.column, step.length)
                if self._fits(step, line.where, where, figure):
                    steps.append((step, where))
        return steps

    def _given_up(self, where: Where) -> bool:
        """Whether so much is wrong that no more is read; said once."""
        if len(self.notes) >= MOST_WRONG and not self._tired:
            self._tired = True
            self.notes.append(error("too-much-wrong", where, most=MOST_WRONG))
        return self._tired

    def _fits(self, step: MoveText, line: Where, where: Where, figure: Figure | None) -> bool:
        places = figure.places if figure else self.places
        if isinstance(step, FigureText):
            return self._figure_fits(step, where, places)
        blocks = [step.first, step.second] if isinstance(step, CrossText) else [step.block]
        for block in blocks:
            spot = _at(line, block.column, block.length)
            if block.last < block.first:
                facts = {"first": block.first, "last": block.last}
                self.notes.append(error("block-runs-backwards", spot, **facts))
                return False
            for place in (block.first, block.last):
                if not 1 <= place <= places:
                    there = _places_of(figure, places)
                    self.notes.append(error("no-such-place", spot, place=place, **there))
                    return False
        if isinstance(step, CrossText) and not _neighbours(step):
            a, b = sorted((step.first, step.second), key=lambda block: block.first)
            self.notes.append(
                error(
                    "not-neighbours",
                    where,
                    first=_block_text(a.first, a.last),
                    second=_block_text(b.first, b.last),
                    word="over" if step.over else "under",
                    wanted=_block_text(a.last + 1, a.last + 1 + b.last - b.first),
                )
            )
            return False
        return True

    def _figure_fits(self, step: FigureText, where: Where, places: int) -> bool:
        figure = self.figures.get(step.name)
        if figure is None:
            help_ = meant(step.name, self.figures, "figures of this draft: {names}")
            named = _at(where, 0, len(step.name))
            self.notes.append(error("no-such-figure", named, figure=step.name, help=help_))
            return False
        if not 1 <= step.at or step.at + figure.places - 1 > places:
            facts = {
                "figure": step.name,
                "at": step.at,
                "last": step.at + figure.places - 1,
                "width": figure.places,
                "places": places,
                "most": max(places - figure.places + 1, 1),
            }
            self.notes.append(error("figure-does-not-fit", where, **facts))
            return False
        return True

    def _laid(self, step: MoveText, where: Where, above: tuple[str, ...]) -> list[list[Move]]:
        """Rows of moves, one per span that the step runs over, at the places where it stands."""
        if not isinstance(step, FigureText):
            written = [written_out(step, where)]
            return written if self._has_room(written, where) else []
        figure = self.figures[step.name]
        if step.name in above or len(above) >= DEEPEST:
            way = " → ".join((*above, step.name))
            self.notes.append(error("figure-uses-itself", where, figure=step.name, way=way))
            return [[]]
        rows = self._rows_of(figure, above)
        if not self._has_room(rows, where):
            return []
        if step.backwards:
            rows = tuple(reversed(rows))
        laid = [[_placed(move, step, figure.places, where) for move in row] for row in rows]
        return laid or [[]]

    def _rows_of(self, figure: Figure, above: tuple[str, ...]) -> tuple[tuple[Move, ...], ...]:
        if figure.name in self._known:
            return self._known[figure.name] or ()
        self._known[figure.name] = None  # until it is read: a figure within itself finds nothing
        inside = (*above, figure.name)
        rows: list[list[Move]] = [[] for _ in figure.spans]
        for k, lines in enumerate(figure.spans):
            for step, where in self._steps(lines, figure):
                for later, row in enumerate(self._laid(step, where, inside)):
                    while len(rows) <= k + later:
                        rows.append([])
                    rows[k + later] += row
                if self._full:
                    return ()
        result = tuple(map(tuple, rows))
        self._known[figure.name] = result
        return result

    def _refuse_long(self, step: MoveText, where: Where, rows: int, left: int) -> None:
        name = step.name if isinstance(step, FigureText) else ""
        self.notes.append(
            error("figure-runs-out", where, figure=name, spans=rows, left=left, missing=rows - left)
        )


def lower(at: Where, by: int) -> Where:
    """A place so many lines further down."""
    return Where(at.file, at.line + by, at.column, at.length)


def _places_of(figure: Figure | None, places: int) -> dict[str, str]:
    """Which places there are, and what makes more of them."""
    if figure:
        there = f"figure {figure.name} has places 1 to {places}, counted from its left"
        return {"there": there, "help": f"a larger `places` in [figure.{figure.name}] makes more"}
    there = f"the warp has places 1 to {places}, counted from the weaver's left"
    return {"there": there, "help": 'a longer `order` in [warp] makes more; "-" is an empty place'}


def _lowered(move: Move, by: int) -> Move:
    """A move written further down; `replace` takes many times as long, and there are thousands."""
    made: Move = object.__new__(type(move))
    made.__dict__.update(move.__dict__, where=lower(move.where, by))
    return made


def _texts(figures: Mapping[str, Figure]) -> object:
    """What the moves of figures depend on."""
    return {
        name: (figure.places, [[line.text for line in span] for span in figure.spans])
        for name, figure in figures.items()
    }


def _name(passage: Passage) -> tuple[str, int]:
    return passage.text, passage.where.column


def written_out(step: MoveText, where: Where) -> list[Move]:
    """Write one move as crossings, turns, rolls and shifts of the model."""
    if isinstance(step, CrossText):
        return [_cross(step, where)]
    if isinstance(step, TurnText):
        kind = Roll if step.as_one else Turn
        first, last = step.block.first, step.block.last
        return [kind(first=first, last=last, half_turns=step.half_turns, where=where)]
    if isinstance(step, ShiftText):
        first, last = step.block.first, step.block.last
        return [
            Shift(first=first, last=last, places=step.places, length_mm=step.length_mm, where=where)
        ]
    if isinstance(step, PlaitText):
        return _plait(step.block.first, step.block.last, where)
    raise TypeError("a figure is laid out by its rows")


def _cross(step: CrossText, where: Where) -> Cross:
    left, right = sorted((step.first, step.second), key=lambda block: block.first)
    return Cross(
        first=left.first,
        middle=right.first,
        last=right.last,
        left_over=step.over == (left is step.first),
        where=where,
    )


def _plait(first: int, last: int, where: Where) -> list[Move]:
    moves: list[Move] = []
    for start, left_over in ((first, True), (first + 1, False)):
        moves += [
            Cross(first=a, middle=b, last=b, left_over=left_over, where=where)
            for a, b in pairwise(range(start, last + 1))
            if (a - start) % 2 == 0
        ]
    return moves


def _placed(move: Move, step: FigureText, places: int, where: Where) -> Move:
    """Lay a figure's move at its place, mirrored or reversed as asked; it points at the laying.

    Mirrored: left and right change places. Reversed: over and under, and the sides of turns, are
    exchanged (docs/decisions/0003). Records are built anew: `replace` takes several times as long.
    """
    by, name = step.at - 1, step.name
    first, last = move.first + by, move.last + by
    if step.mirrored:
        first, last = by + places + 1 - move.last, by + places + 1 - move.first
    other = step.mirrored != step.reversed
    if isinstance(move, Cross):
        middle = by + places + 2 - move.middle if step.mirrored else move.middle + by
        over = move.left_over != other
        return Cross(
            first=first, middle=middle, last=last, left_over=over, where=where, figure=name
        )
    if isinstance(move, Shift):
        sign = -1 if step.mirrored else 1
        across, length = sign * move.places, sign * move.length_mm
        return Shift(
            first=first, last=last, places=across, length_mm=length, where=where, figure=name
        )
    turns = -move.half_turns if other else move.half_turns
    if isinstance(move, Turn):
        return Turn(first=first, last=last, half_turns=turns, where=where, figure=name)
    return Roll(first=first, last=last, half_turns=turns, where=where, figure=name)


def _neighbours(step: CrossText) -> bool:
    a, b = step.first, step.second
    return a.last + 1 == b.first or b.last + 1 == a.first


def _block_text(first: int, last: int) -> str:
    return str(first) if first == last else f"{first}-{last}"


def _at(line: Where, column: int, length: int) -> Where:
    return Where(line.file, line.line, line.column + column, length)

"""What happens in each span once figures are laid out and plaits written as crossings?

Order within a span: first what runs on from figures of earlier spans, in the order they began,
then the span's own moves. Columns and lines point at the text that the maker wrote.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from types import MappingProxyType
from typing import NamedTuple

from crossfell.base.nearest import help_for
from crossfell.base.notes import Note, Where, advice, error
from crossfell.base.quantities import read_quantity
from crossfell.draft.forms import Block
from crossfell.draft.kinds import EXAMPLES, Said, layings
from crossfell.draft.moves import Unread, parsed
from crossfell.draft.plain import Move, Placing
from crossfell.draft.whereabouts import Passage

MOST_WRONG = 100  # moves that make no sense; the rest is not looked at
MOST_MOVES = 200_000  # of the whole draft, written out
DEEPEST = 100  # figures within figures


class BareLength(NamedTuple):
    """What a bare number of length means, and the distance between places."""

    measure: str = "mm"
    pitch_mm: float = 0.0


PLAIN_MM = BareLength()


class Anew(NamedTuple):
    """A span that a repeat lays again: which one of those written, how, and where that is said."""

    written: int  # index
    laying: Placing
    where: Where


@dataclass(frozen=True, slots=True)
class MoveLine:
    """One line of moves and where its first character stands."""

    text: str
    where: Where


@dataclass(frozen=True, slots=True)
class Figure:
    """A named run of spans, as text."""

    name: str
    places: int
    spans: tuple[tuple[MoveLine, ...], ...]
    where: Where


@dataclass(frozen=True, slots=True)
class Expanded:
    """What a passage without mistakes comes to when it begins in this line."""

    line: int
    rows: tuple[tuple[Move, ...], ...]

    def at(self, line: int) -> Expanded:
        """The same further up or down."""
        by = line - self.line
        if not by:
            return self
        return Expanded(line, tuple(tuple([move.lower(by) for move in row]) for row in self.rows))


@dataclass(frozen=True, slots=True)
class LaidOut:
    """All passages of a draft without mistakes, by their text and column, and what they hang on."""

    figures: Mapping[str, Figure]
    places: int
    measured: BareLength
    passages: Mapping[tuple[str, int], Expanded]


class Expansion:
    """Lays out the moves of a draft, collecting what is wrong.

    `former` is what was laid out of the draft before an edit: it is only moved.
    """

    def __init__(
        self,
        figures: Mapping[str, Figure],
        places: int,
        former: LaidOut | None = None,
        measured: BareLength = PLAIN_MM,
    ) -> None:
        self.figures = figures
        self.places = places
        self._measured = measured
        self.pitch_mm = measured.pitch_mm
        self._passages: dict[tuple[str, int], Expanded] = {}
        alike = (
            former
            and (former.places, former.measured) == (places, measured)
            and _texts(former.figures) == _texts(figures)
        )
        self._former = former.passages if former and alike else {}
        self.notes: list[Note] = []
        self._count = 0  # moves of the spans; before, of the figures within others
        self._full = False
        self._tired = False
        self._anew: dict[Anew, list[list[Move]]] = {}
        self._beyond: set[Where] = set()  # repeats that leave the warp, or the piece
        self._bare = 0  # shifts by a number that does not say of what
        self._known: dict[str, tuple[tuple[Move, ...], ...] | None] = {}

    def spans(
        self, texts: Sequence[Passage], anew: Sequence[Anew | None] = ()
    ) -> tuple[tuple[Move, ...], ...]:
        """Moves of every span; `texts` has each span's own, `anew` which of them a repeat lays."""
        out: list[list[Move]] = [[] for _ in texts]
        own: list[Sequence[Sequence[Move]]] = []  # of the spans that are written
        for k, (passage, again) in enumerate(zip_longest(texts, anew)):
            room = len(texts) - k
            if again is None:
                rows = self._again(passage, room) or self._written(passage, room)
                own.append(rows)
            else:
                rows = self._repeated(own[again.written], again, room)
            for later, row in enumerate(rows):
                out[k + later] += row
            if self._full:
                break
        return tuple(map(tuple, out))

    def _repeated(
        self, rows: Sequence[Sequence[Move]], again: Anew, room: int
    ) -> Sequence[Sequence[Move]]:
        """Rows of a passage laid anew by a repeat; they point at it."""
        if not self._has_room(rows, again.where):
            return []
        laid = self._anew.get(again)
        if laid is None:  # few are different: the mirror comes every other time
            laid = [[move.laid(again.laying, again.where) for move in row] for row in rows]
            self._anew[again] = laid
            self._look_beyond([move for row in laid for move in row], again.where)
        if len(laid) > room and again.where not in self._beyond:
            self._beyond.add(again.where)
            name = next((move.figure for move in laid[-1] if move.figure), "")
            self._refuse_long(name, again.where, len(laid), room)
        return laid[:room]

    def _look_beyond(self, moves: Sequence[Move], where: Where) -> None:
        """Say once of a repeat that it leaves the warp."""
        beyond = (p for m in moves for p in (m.first, m.last) if not 1 <= p <= self.places)
        place = next(beyond, None)
        if place is not None and where not in self._beyond:
            self._beyond.add(where)
            facts = {"place": place, "places": self.places}
            self.notes.append(error("repeat-beyond-the-warp", where, **facts))

    def laid_out(self) -> LaidOut:
        """What was laid out without mistakes."""
        return LaidOut(self.figures, self.places, self._measured, MappingProxyType(self._passages))

    def _written(self, passage: Passage, room: int) -> Sequence[Sequence[Move]]:
        """Rows of a passage: its own span's, and those of the spans that it runs on to."""
        rows: list[list[Move]] = []
        noted = len(self.notes), self._bare
        for step, where in self._steps([MoveLine(*row) for row in passage.lines()]):
            laid = self._laid(step, where, ())
            if self._full:
                return rows
            if len(laid) > room:
                self._refuse_long(step.figure, where, len(laid), room)
                laid = laid[:room]
            rows += [[] for _ in range(len(laid) - len(rows))]
            for later, more in enumerate(laid):
                rows[later] += more
        if (len(self.notes), self._bare) == noted:
            self._passages[_name(passage)] = Expanded(passage.where.line, tuple(map(tuple, rows)))
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
        self, lines: Sequence[MoveLine], figure: Figure | None = None
    ) -> list[tuple[Said, Where]]:
        steps: list[tuple[Said, Where]] = []
        for line in lines:
            if self._given_up(line.where):
                return steps
            read = parsed(line.text)
            if isinstance(read, Unread):
                where = _at(line.where, read.column, read.length)
                facts = {"found": read.found, "expected": read.expected, "forms": EXAMPLES}
                self.notes.append(error("not-a-move", where, right=read.right, **facts))
                continue
            for step in read:
                where = _at(line.where, step.column, step.length)
                if self._fits(step, line.where, where, figure):
                    self._ask_of_what(step, where)
                    steps.append((step, where))
        return steps

    def _given_up(self, where: Where) -> bool:
        """Whether so much is wrong that no more is read; said once."""
        if len(self.notes) >= MOST_WRONG and not self._tired:
            self._tired = True
            self.notes.append(error("too-much-wrong", where, most=MOST_WRONG))
        return self._tired

    def _fits(self, step: Said, line: Where, where: Where, figure: Figure | None) -> bool:
        places = figure.places if figure else self.places
        if step.figure:
            return self._figure_fits(step, where, places)
        for block in step.blocks:
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
        if len(step.blocks) > 1 and not _neighbours(*step.blocks):
            self._refuse_apart(step, where)
            return False
        return True

    def _refuse_apart(self, step: Said, where: Where) -> None:
        """Say which neighbours could be meant; `word` is what stands between the blocks."""
        a, b = sorted(step.blocks, key=lambda block: block.first)
        word = step.text().split()[1]
        wanted = Block(a.last + 1, a.last + 1 + b.last - b.first).text()
        facts = {"first": a.text(), "second": b.text(), "word": word, "wanted": wanted}
        self.notes.append(error("not-neighbours", where, **facts))

    def _ask_of_what(self, step: Said, where: Where) -> None:
        """Say once that a bare number is places; refuse it where it could be a length."""
        amount = step.amount
        if amount is None or not amount.bare:
            return
        self._bare += 1
        measure, pitch = self._measured
        unit = read_quantity(f"1 {measure}", "length")
        here = _at(where, step.length - len(amount.said), len(amount.said))
        facts = {"number": amount.said, "places": amount.text(), "measure": measure}
        if measure != "mm" and unit != pitch:
            self.notes.append(error("places-or-length", here, **facts))
        elif self._bare == 1:
            self.notes.append(advice("number-of-places", here, **facts))

    def _figure_fits(self, step: Said, where: Where, places: int) -> bool:
        figure = self.figures.get(step.figure)
        if figure is None:
            helps = help_for(step.figure, self.figures, "figures of this draft: {names}")
            named = _at(where, 0, len(step.figure))
            self.notes.append(error("no-such-figure", named, figure=step.figure, **helps))
            return False
        for at in (step.starts[0], step.starts[-1]):
            if not 1 <= at <= at + figure.places - 1 <= places:
                facts = {
                    "figure": step.figure,
                    "at": at,
                    "last": at + figure.places - 1,
                    "width": figure.places,
                    "places": places,
                    "most": max(places - figure.places + 1, 1),
                }
                self.notes.append(error("figure-does-not-fit", where, **facts))
                return False
        return True

    def _laid(self, step: Said, where: Where, above: tuple[str, ...]) -> list[list[Move]]:
        """Rows of moves, one per span that the step runs over, at the places where it stands."""
        if not step.figure:
            plain = Placing()
            written = [[move.laid(plain, where) for move in step.kind.out(step, self.pitch_mm)]]
            return written if self._has_room(written, where) else []
        figure = self.figures[step.figure]
        if step.figure in above or len(above) >= DEEPEST:
            way = " → ".join((*above, step.figure))
            self.notes.append(error("figure-uses-itself", where, figure=step.figure, way=way))
            return [[]]
        rows = self._rows_of(figure, above)
        if "backwards" in step["modifiers"]:
            rows = tuple(reversed(rows))
        laid: list[list[Move]] = [[] for _ in rows] or [[]]
        for laying in layings(step, figure.places):
            if not self._has_room(rows, where):
                return []
            for row, more in zip(laid, rows, strict=False):
                row += [move.laid(laying, where, figure.name) for move in more]
        return laid

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

    def _refuse_long(self, figure: str, where: Where, rows: int, left: int) -> None:
        facts = {"figure": figure, "spans": rows, "left": left, "missing": rows - left}
        self.notes.append(error("figure-runs-out", where, **facts))


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


def _texts(figures: Mapping[str, Figure]) -> object:
    """What the moves of figures depend on."""
    return {
        name: (figure.places, [[line.text for line in span] for span in figure.spans])
        for name, figure in figures.items()
    }


def _name(passage: Passage) -> tuple[str, int]:
    return passage.text, passage.where.column


def _neighbours(a: Block, b: Block) -> bool:
    return a.last + 1 == b.first or b.last + 1 == a.first


def _at(line: Where, column: int, length: int) -> Where:
    return Where(line.file, line.line, line.column + column, length)

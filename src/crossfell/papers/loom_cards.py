"""What stands on the card of each span, at the front of the loom and behind it?

A card has the picture of before and after, the steps in order with a box to tick, what the batten
(behind: the row of bobbins) looks like after each, picks and sheds of the band that follows, and
room for notes. In large print its letters can be read from 1.5 m.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from crossfell.base.quantities import written
from crossfell.drawings.album import Album
from crossfell.drawings.cards import MARGIN, PLACE_MM, large_names, large_place_mm, span_card
from crossfell.drawings.lettering import width_em
from crossfell.drawings.margins import fitted
from crossfell.drawings.naming import key_of, picture_names
from crossfell.drawings.stretches import windows
from crossfell.papers.art import Data, drawn
from crossfell.papers.card_rows import moments, rows_of
from crossfell.papers.letters import printable, size_for_mm
from crossfell.papers.typeset import SIZES, bound
from crossfell.piece import Piece
from crossfell.plan.cautions import CAUTIONS
from crossfell.plan.model import Moment, Step
from crossfell.plan.phrasebook import Teller, teller_of

READ_FROM_MM = 1500.0
HEAD_MM, SIDE_WORD_MM = 7.8, 70.0  # size of a card's head, and room for FRONT or BACK beside it
SIDE_MM = {False: 16.0, True: 12.0}  # margin at the sides
STEP_MM = {False: 18.0, True: 46.0}  # box and number before a step
NUMBER_MM = {False: 7.0, True: 20.0}  # number of a place, at each end of a row
SAYS = {"front": "as seen from the weaver's seat", "back": "from behind the loom"}
BEFORE, AFTER = "Before the first span", "After the last band"


@dataclass(frozen=True, kw_only=True)
class Print:
    """How large all is set (mm)."""

    large: bool
    wide: float  # of what is printed
    letter: float  # of steps in large print; 0 as usual
    names: tuple[str, ...]  # what units are called in pictures and rows
    cell: float  # width of a place in a row
    cell_letter: float  # size of the names in it
    places: int  # at most, in one picture

    @property
    def cells(self) -> int:
        """Places in one row, at most, where the row is not the whole batten."""
        room = self.wide - STEP_MM[self.large] - 2 * NUMBER_MM[self.large]
        return max(int(room / self.cell), 1)


def print_of(piece: Piece, *, large: bool) -> Print:
    """The usual print, upright; or the large one, on paper laid on its side."""
    wide = sorted(SIZES[piece.draft.about.paper])[large] - 2 * SIDE_MM[large]
    names = large_names(piece) if large else picture_names(piece.draft)
    letter = size_for_mm(READ_FROM_MM) if large else 0.0
    longest = max((width_em(name, bold=True) for name in names), default=1.0)
    place = large_place_mm(piece) if large else PLACE_MM
    size, pad = (letter, 3.0) if large else (3.6, 2.0)
    cell = min(max(1.26 * letter or 9.0, longest * size + pad), (wide - STEP_MM[large]) / 4)
    return Print(
        large=large,
        wide=wide,
        letter=letter,
        names=names,
        cell=cell,
        cell_letter=min(size, (cell - pad) / longest),
        places=int((wide - 2 * MARGIN) / place) if large else 16,
    )


FIRST = {  # what is to be true before she goes on with this card
    "weights-off": "Go on here only when these weights are off.",
    "weights-on": "Go on here only when nothing is crossed behind the reed and every weight hangs.",
    "open": "Go on here only when the strips lie as in front and the batten is closed.",
    "clamp": "Go on here only when the new order is clamped.",
}


def cards_pdf(piece: Piece, *, large: bool = False) -> bytes:
    """All loom cards as one PDF on the draft's paper, in usual or in large print."""
    album = Album()
    return bound(piece.draft, [cards(piece, album, large=large)], album, tags=False)


def cards(piece: Piece, album: Album, *, title: str = "", large: bool = False) -> Data:
    """All loom cards as a part of a document; their pictures go into the album."""
    set_as = print_of(piece, large=large)
    return {
        "kind": "cards",
        "title": title,
        "large": large,
        "letter_mm": set_as.letter,
        "cell_mm": set_as.cell,
        "cell_letter_mm": set_as.cell_letter,
        "number_mm": NUMBER_MM[large],
        "most_cells": max(piece.draft.place_count, set_as.cells),
        "cards": list(_cards(piece, set_as, album)),
    }


def _cards(piece: Piece, set_as: Print, album: Album) -> Iterator[Data]:
    steps, ends = piece.plan.steps, {"cut-down", "finish"}
    loose = [step for step in steps if step.span is None and step.band is None]
    first = [step for step in loose if step.kind not in ends]
    band = [step for step in steps if step.band == 1]
    yield _card(
        piece, BEFORE, "front", first, set_as, album, cautions=("weights", "springs"),
        band=_band(piece, band, "The first band"), note=how_to_read(piece, set_as),
    )  # fmt: skip
    for span in piece.draft.spans:
        head = f"Span {span.number}" + (f": {span.name}" if span.name else "")
        mine = [step for step in steps if step.span == span.number]
        front = [step for step in mine if step.side != "back"]
        behind = [step for step in mine if step.side == "back"]
        band = [step for step in steps if step.band == span.number + 1]
        yield _card(
            piece, head, "front", front, set_as, album, span=span.number,
            band=_band(piece, band, "The band after it"), note=span.note,
        )  # fmt: skip
        if behind:
            yield _card(piece, head, "back", behind, set_as, album, span=span.number)
    last = [step for step in loose if step.kind in ends]
    yield _card(piece, AFTER, "front", last, set_as, album, cautions=("weights",))


def how_to_read(piece: Piece, set_as: Print) -> str:
    """What pictures and rows mean, and what shortened names stand for."""
    says = (
        "Pictures: before is below, after is above. Rows: grey is new, black lies face back; the "
        "numbers beside a row are its first and last place."
    )
    called = [f"{short} is {printable(kind)}" for short, kind in key_of(piece.draft, set_as.names)]
    return says + (f" Names in them: {', '.join(called)}." if called else "")


def _card(
    piece: Piece,
    head: str,
    side: str,
    steps: Sequence[Step],
    set_as: Print,
    album: Album,
    *,
    span: int | None = None,
    cautions: Sequence[str] = (),
    band: Data | None = None,
    note: str = "",
) -> Data:
    seen, tell = moments(piece, span, side, steps), teller_of(piece.draft)
    height = written(piece.draft.spans[span - 1].height_mm, piece.draft.measure) if span else ""
    return {
        "head": fitted(head, set_as.letter or HEAD_MM, set_as.wide - SIDE_WORD_MM, bold=True),
        "called": f"{head}, back" if side == "back" else head,
        "side": side,
        "view": SAYS[side],
        "says": height,
        "pictures": list(_pictures(piece, span, side, set_as, album)) if span else [],
        "steps": [
            _step(step, seen[i : i + 2], set_as, tell) | _round(piece, steps, i)
            for i, step in enumerate(steps)
        ],
        "band": band,
        "note": note,
        "cautions": [CAUTIONS[name] for name in cautions],
    }


def _pictures(piece: Piece, span: int, side: str, set_as: Print, album: Album) -> Iterator[Data]:
    stretches = windows(piece, span - 1, set_as.places)
    for places in piece.draft.at_loom(behind=side == "back").row(stretches):
        scene = span_card(piece, span, view=side, places=places, large=set_as.large)
        yield drawn(album, scene, fine=False)


def _step(step: Step, seen: Sequence[Moment], set_as: Print, tell: Teller) -> Data:
    rows: list[Data] = []
    if len(seen) == 2 and (seen[0] != seen[1] or step.kind == "check"):
        before, now = seen
        found = rows_of(before, now, set_as.names, set_as.cells)
        rows = [{**row, "indents": _indents(row, set_as)} for row in found]
    text = tell.short(step) if set_as.large else tell.sentence(step)
    return {
        "number": step.number,
        "text": text,
        "wait": _waiting(step.not_before_min),
        "stop": step.may_stop,
        "rows": rows,
    }


def _round(piece: Piece, steps: Sequence[Step], i: int) -> Data:
    """Where she goes round the loom before the next step of a card: what comes first, and why."""
    here, after = steps[i], steps[i + 1] if i + 1 < len(steps) else None
    if here.span is None or after is None or after.number == here.number + 1:
        return {"go": None}
    there = piece.plan.steps[here.number : after.number - 1]
    first, last = there[0].number, there[-1].number
    kinds = {step.kind for step in there}
    why = next((text for kind, text in FIRST.items() if kind in kinds), "")
    numbers = str(first) if first == last else f"{first}–{last}"
    where = "GO BEHIND" if there[0].side == "back" else "GO IN FRONT"
    return {"go": {"where": f"{where}: {numbers}.", "why": why}}


def _indents(row: Data, set_as: Print) -> list[float]:
    """How far each name starts from the left of its cell, to stand in its middle (mm)."""
    return [
        round((set_as.cell - set_as.cell_letter * width_em(name, bold=x in row["new"])) / 2, 2)
        for x, name in enumerate(row["names"])
    ]


def _waiting(minutes: float) -> str:
    if not minutes:
        return ""
    return f"not before {minutes / 60:g} h after the adhesive" if minutes >= 60 else (
        f"not before {minutes:g} min after the adhesive")  # fmt: skip


def _band(piece: Piece, steps: Sequence[Step], head: str) -> Data:
    """Picks, rods, adhesive: each pick with its shed."""
    tell = teller_of(piece.draft)
    rows = [
        {
            "number": step.number,
            "text": tell.sentence(step),
            "sheds": list(step.sheds),
            "wait": _waiting(step.not_before_min),
            "stop": step.may_stop,
        }
        for step in steps
    ]
    return {"head": head, "steps": rows}

"""What is wrong or doubtful, most serious first?"""

from __future__ import annotations

from crossfell.facts.declare import Answer, fact, level
from crossfell.piece import Piece

level(
    "notes",
    whom="maker",
    says="what is wrong or doubtful, most serious first",
    size=lambda p: len(p.notes),
    label=lambda _, n: str(n + 1),
)


@fact("notes.*.code", form="string")
def code(piece: Piece, n: int) -> Answer:
    """As in docs/errors.md."""
    return Answer(piece.notes[n].code)


@fact("notes.*.severity", form="one of error|doubt|advice")
def severity(piece: Piece, n: int) -> Answer:
    """How serious it is."""
    return Answer(piece.notes[n].severity.value)


@fact("notes.*.line", form="integer>=0")
def line(piece: Piece, n: int) -> Answer:
    """Line of the draft, 0 for none."""
    return Answer(piece.notes[n].where.line)


@fact("notes.*.column", form="integer>=0")
def column(piece: Piece, n: int) -> Answer:
    """Column, from 1; 0 for none."""
    return Answer(piece.notes[n].where.column)


@fact("notes.*.message", form="string")
def message(piece: Piece, n: int) -> Answer:
    """The finding in words."""
    return Answer(piece.notes[n].message)

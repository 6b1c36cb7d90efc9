"""What if she keeps it: what must change in what is to come, so that the rest comes out as drawn?

The draft keeps what was drawn and says beside it, in `woven`, how the span really lies; the plan
then goes on from there and puts right what must be put right. See plan/woven.py.
"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.draft.edit import NotEditable, set_key
from crossfell.draft.kinds import said_of
from crossfell.draft.plain import Cross, Move, Turn
from crossfell.draft.reader import read_draft
from crossfell.loomside.leading import LedPlan
from crossfell.loomside.mistake import Slip, SpanMoves
from crossfell.piece import Piece


@dataclass(frozen=True, kw_only=True)
class Kept:
    """The other way: the draft as woven, and what it changes."""

    text: str  # of the draft as it would be
    piece: Piece  # as woven so far, then what puts it right, then as drawn
    span: int  # the one that is written down as it lies
    next_span: int | None  # the one that brings it back; None where nothing needs to come back
    moves: tuple[str, ...]  # added to that span
    minutes: float  # more than planned


@dataclass(frozen=True, kw_only=True)
class NotKept:
    """Why it cannot be kept."""

    says: str


def kept_way(plan: LedPlan, span: SpanMoves, slip: Slip, next_span: int) -> Kept | NotKept:
    """Keep a slip; `next_span` is the number of the next span that is not begun."""
    if slip.outcome.held:
        return NotKept(says="strips are still lifted: lay them first, or go back")
    if None in span.lying.now:
        return NotKept(says="places are empty between the units: only the way back is offered")
    draft = plan.piece.draft
    try:
        text = set_key(draft.text, f"span.{span.span}.woven", ", ".join(_as_moves(slip)))
        text = set_key(text, "woven.spans", max(next_span - 1, draft.woven.spans))
    except NotEditable as problem:
        return NotKept(says=str(problem))
    new = Piece(read_draft(text, workshop=draft.workshop_text or None))
    woven = new.as_woven if new.computable else None
    if woven is None or woven.notes:
        return NotKept(says="the draft as woven cannot be read")
    if woven.places and woven.right is None:
        return NotKept(says="no span is left in which it could be put right")
    moves = woven.right.moves if woven.right else ()
    return Kept(
        text=text,
        piece=new.going_on,
        span=span.span,
        next_span=next_span if moves else None,
        moves=moves,
        minutes=new.going_on.plan.minutes - plan.piece.plan.minutes,
    )


def _as_moves(slip: Slip) -> tuple[str, ...]:
    """The span as it lies, crossing by crossing; a row without gaps has place = rank."""
    moves: list[Move] = [
        Cross(first=abs(letter), middle=abs(letter) + 1, last=abs(letter) + 1, left_over=letter > 0)
        for letters in slip.outcome.letters
        for letter in letters
    ]
    at = {unit: place for place, unit in enumerate(slip.outcome.row, 1)}
    for step in slip.did:
        if step is not None and step.kind == "turn":
            place = at[step.units[0]]
            moves.append(Turn(first=place, last=place, half_turns=step.half_turns))
    return tuple(said_of(move).text() for move in moves)

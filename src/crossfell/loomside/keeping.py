"""What if she keeps it: what must change in what is to come, so that the rest comes out as drawn?

The span is written down as it really lies; the next span that is not begun first brings every unit
back to its drafted place and face. Whether it does, is computed before it is offered.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.draft.edit import NotEditable, add_move, set_moves
from crossfell.draft.reader import read_draft
from crossfell.loomside.guide import Plan
from crossfell.loomside.mistake import Slip, SpanMoves
from crossfell.piece import Piece


@dataclass(frozen=True, kw_only=True)
class Kept:
    """The other way: the draft as woven, and what it changes."""

    text: str  # of the draft as it would be
    piece: Piece
    span: int  # the one that is written down as it lies
    next_span: int | None  # the one that brings it back; None where nothing needs to come back
    moves: tuple[str, ...]  # added to that span
    minutes: float  # more than planned


@dataclass(frozen=True, kw_only=True)
class NotKept:
    """Why it cannot be kept."""

    says: str


def kept_way(plan: Plan, span: SpanMoves, slip: Slip, next_span: int) -> Kept | NotKept:
    """Keep a slip; `next_span` is the number of the next span that is not begun."""
    piece = plan.piece
    if slip.outcome.held:
        return NotKept(says="strips are still lifted: lay them first, or go back")
    if not _is_side_by_side(slip.outcome.row):
        return NotKept(says="places are empty between the units: only the way back is offered")
    woven = _as_moves(slip, span)
    try:
        text = set_moves(piece.draft.text, span.span, woven)
        as_woven = _piece(text, piece)
        if as_woven is None or next_span > len(piece.draft.spans) + 1:
            return NotKept(says="the draft as woven cannot be read")
        brought = _brought_back(as_woven, piece, next_span - 1)
        if brought and next_span > len(piece.draft.spans):
            return NotKept(says="no span is left in which it could come back")
        for move in reversed(brought):
            text = add_move(text, next_span, move, before=1)
    except NotEditable as problem:
        return NotKept(says=str(problem))
    new = _piece(text, piece)
    if new is None or not _comes_out(new, piece, next_span if brought else next_span - 1):
        return NotKept(says="a figure runs through these spans: only the way back is offered")
    return Kept(
        text=text,
        piece=new,
        span=span.span,
        next_span=next_span if brought else None,
        moves=brought,
        minutes=new.plan.minutes - piece.plan.minutes,
    )


def _piece(text: str, old: Piece) -> Piece | None:
    piece = Piece(read_draft(text, workshop=old.draft.workshop_text or None))
    return piece if piece.computable else None


def _is_side_by_side(row: Sequence[int | None]) -> bool:
    return None not in row


def _as_moves(slip: Slip, span: SpanMoves) -> tuple[str, ...]:
    """The span as it lies, crossing by crossing; a row without gaps has place = rank."""
    moves = [
        f"{abs(letter)} {'over' if letter > 0 else 'under'} {abs(letter) + 1}"
        for letters in slip.outcome.letters
        for letter in letters
    ]
    at = {unit: place for place, unit in enumerate(slip.outcome.row, 1)}
    for step in slip.did:
        if step is not None and step.kind == "turn":
            side = "right" if step.half_turns > 0 else "left"
            times = abs(step.half_turns)
            much = {1: "", 2: " twice"}.get(times, f" {times} times")
            moves.append(f"turn {at[step.units[0]]} {side}{much}")
    del span
    return tuple(moves)


def _brought_back(woven: Piece, piece: Piece, band: int) -> tuple[str, ...]:
    """Moves that bring units to their drafted places and faces at a band (index from 0)."""
    count = piece.draft.place_count
    row = list(woven.order.by_place(band, count))
    wanted = {unit: i for i, unit in enumerate(piece.order.by_place(band, count))}
    moves = []
    for end in range(count - 1, 0, -1):
        for i in range(end):
            if wanted[row[i]] > wanted[row[i + 1]]:
                row[i], row[i + 1] = row[i + 1], row[i]
                moves.append(f"{i + 1} over {i + 2}")
    for unit, place in wanted.items():
        if unit is not None and woven.order.face[band, unit] != piece.order.face[band, unit]:
            moves.append(f"turn {place + 1} left")
    return tuple(moves)


def _comes_out(new: Piece, piece: Piece, band: int) -> bool:
    """Whether from a band on (index from 0) every unit lies as drafted, face and all."""
    return bool(
        (new.order.place[band:] == piece.order.place[band:]).all()
        and (new.order.face[band:] == piece.order.face[band:]).all()
    )

"""What would it take to undo what was woven, back to the last span that is as drawn?

From the last band down: cut the band out, let the warp back, and make the moves of the span below
it in reverse. A crossing undone is the same unit over the same other, back again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from crossfell.draft.model import Draft, Move
from crossfell.order.stage import order_of
from crossfell.plan.book import Book, book_of
from crossfell.plan.model import Action, Step
from crossfell.plan.moving import write_span
from crossfell.plan.rehearsal import undone

LAYING = {Action.LAY, Action.CROSS, Action.CARRY, Action.ROLL}


@dataclass(frozen=True, kw_only=True)
class Undoing:
    """Bands to cut out and lays to reverse, last first; `redo_min` is to weave them again."""

    bands: tuple[int, ...]  # numbers, in the order in which they are cut out
    spans: tuple[int, ...]  # numbers, in the order in which they are undone
    lays: int  # hands of strips laid back
    steps: tuple[Step, ...]
    minutes: float


def undoing(woven: Draft, back_to: int, done: int) -> Undoing:
    """Undo spans `done` down to `back_to` (numbers); `woven` has its spans as they were made.

    The steps are rehearsed. Errors: Refused, which is our fault.
    """
    numbers = range(done, back_to - 1, -1)
    draft = backwards(woven, back_to, done)
    order = order_of(draft)
    book = book_of(draft, order)
    for at, number in enumerate(numbers, done):
        write_cut_out(book, woven, number, clamped=at > done)
        write_span(book, at)
    steps = tuple(
        step._replace(number=i, span=None if step.span is None else done + done + 1 - step.span)
        for i, step in enumerate((s for s in book.steps if s.kind is not Action.DRAW), 1)
    )
    undone(draft, order, steps, done)
    return Undoing(
        bands=tuple(number + 1 for number in numbers),
        spans=tuple(numbers),
        lays=sum(step.kind in LAYING for step in steps),
        steps=steps,
        minutes=sum(step.minutes for step in steps),
    )


def write_cut_out(
    book: Book, woven: Draft, number: int, *, clamped: bool, let_back: bool = True
) -> None:
    """Cut out the band after span `number` and, usually, let the warp of that span back."""
    band, height = woven.bands[number], woven.spans[number - 1].height_mm if number else 0.0
    book.write(
        "front",
        Action.CUT_OUT,
        band=number + 1,
        case="clamped" if clamped else "",
        picks=band.pick_count,
        rod=band.rod.label if band.rod and band.rod_count else "",
        length_mm=height if let_back else 0.0,
        caution="rods" if band.rod_count else "",
    )


def backwards(woven: Draft, back_to: int, done: int) -> Draft:
    """The draft up to `done`, followed by the same spans in reverse."""
    spans = list(woven.spans[:done])
    for at, number in enumerate(range(done, back_to - 1, -1), done + 1):
        span = woven.spans[number - 1]
        spans.append(replace(span, number=at, moves=reversed_moves(span.moves)))
    bands = [*woven.bands[: done + 1], *(woven.bands[n] for n in range(done, back_to - 1, -1))]
    return replace(woven, spans=tuple(spans), bands=tuple(bands))


def reversed_moves(moves: Sequence[Move]) -> tuple[Move, ...]:
    """Moves that undo moves."""
    return tuple(move.undone() for move in reversed(moves))

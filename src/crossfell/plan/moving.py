"""What does she do in one span, in front of the loom and behind it?

What happens in front of the reed happens in reverse behind it; it is cleared by the same motions
made with the bobbins, in the same order. Over stays over: up is up on both sides of the loom.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from crossfell.plan.book import Book
from crossfell.plan.handling import Work, windows_at, work_of
from crossfell.plan.model import Action, Along
from crossfell.plan.motions import Motion, What, moved_together

FRONT: Mapping[What, Action] = {
    What.TAKE: Action.LIFT,
    What.LAY: Action.LAY,
    What.TAKE_AND_LAY: Action.CROSS,
    What.CARRY: Action.CARRY,
    What.ROLL: Action.ROLL,
    What.SLIDE: Action.SHIFT,
}
BACK: Mapping[What, Action] = {
    What.TAKE: Action.CLEAR_LIFT,
    What.LAY: Action.CLEAR,
    What.TAKE_AND_LAY: Action.CLEAR_CROSS,
    What.CARRY: Action.CLEAR_CARRY,
    What.ROLL: Action.CLEAR_ROLL,
    What.SLIDE: Action.CLEAR_SHIFT,
}


def write_span(book: Book, k: int) -> None:
    """Write the steps of span k (index from 0)."""
    draft, number = book.draft, k + 1
    work = work_of(book.order, k, draft.loom, book.minutes)
    height, case = draft.spans[k].height_mm, "" if work.off else "still"
    book.write("front", Action.DRAW, span=number, length_mm=height, case=case)
    if not work.off:
        _let_off(book, number)
        return
    book.handling.append(work.handling)
    steps = list(_motions(book, k, work))
    book.write("front", Action.LEVEL, span=number, caution="springs")
    _weights(book, work, k, Action.WEIGHTS_OFF)
    book.write("front", Action.OPEN, span=number)
    for motion, more in steps:
        _write(book, "front", number, motion, more)
    book.write("front", Action.CHECK, span=number, after=book.moment(number))
    book.write("front", Action.CLOSE, span=number)
    for motion, more in steps:
        _write(book, "back", number, motion, more)
    _weights(book, work, k, Action.WEIGHTS_ON)
    _let_off(book, number)
    book.clamped = True
    book.write("front", Action.CLAMP, span=number, may_stop=True)
    book.write("front", Action.UNCHAIN, span=number, caution="springs")


def _let_off(book: Book, number: int) -> None:
    places = book.order.place[number]
    units = tuple(sorted(book.let_off.get(number, ()), key=lambda u: int(places[u])))
    if units:
        book.write("back", Action.LET_OFF, span=number, count=len(units), units=units,
                   caution="weights")  # fmt: skip


def _weights(book: Book, work: Work, k: int, kind: Action) -> None:
    at = k + (kind is Action.WEIGHTS_ON)
    windows = windows_at(book.order, at, work.off, book.draft.loom.hand)
    book.write("back", kind, span=k + 1, count=len(windows), windows=windows, caution="weights")


def _motions(book: Book, k: int, work: Work) -> Iterator[tuple[Motion | None, dict[str, Any]]]:
    """What is done on each stretch, from the left, as fields of steps; a turn is no motion."""
    motions = [motion for part in work.stretches for motion in part.motions] + list(work.slid)
    rests = _rests(motions, book.order.offset_mm[k + 1].tolist())
    for part in work.stretches:
        for motion in part.motions:
            yield motion, _fields(motion, rests)
        for u, turns in part.turned.items():
            face = int(book.order.face[k + 1, u])
            yield None, {"units": (u,), "half_turns": turns, "face": face}
    for motion in work.slid:
        yield motion, _fields(motion, rests)


class _Rests:
    """How far from the middle of its place a unit goes: to where it rests, with its last motion."""

    def __init__(self, last: Mapping[int, Motion], rest_mm: Sequence[float]) -> None:
        self.last, self.rest_mm = last, rest_mm

    def off_mm(self, motion: Motion, unit: int) -> float:
        """In the middle while it still has to move again."""
        return self.rest_mm[unit] if self.last[unit] is motion else 0.0


def _rests(motions: Sequence[Motion], rest_mm: Sequence[float]) -> _Rests:
    last: dict[int, Motion] = {}
    for motion in motions:
        if motion.what is not What.TAKE:
            last |= dict.fromkeys((*motion.units, *(u for u, _, _ in motion.along)), motion)
    return _Rests(last, rest_mm)


def _fields(motion: Motion, rests: _Rests) -> dict[str, Any]:
    fields: dict[str, Any] = {
        "units": motion.units,
        "from_places": motion.from_places,
        "below": motion.below,
    }
    if motion.what is What.TAKE:
        return fields
    crossed = tuple(u for run in motion.crossed for u in run)
    return fields | {
        "to_places": motion.to_places,
        "off_mm": tuple(rests.off_mm(motion, u) for u in motion.units),
        "over": () if motion.below else crossed,
        "under": crossed if motion.below else (),
        "crossed": motion.crossed,
        "later_over": motion.held_over,
        "later_under": motion.held_under,
        "half_turns": motion.half_turns,
        "legs": motion.legs,
        "along": tuple(
            Along(u, start, end, rests.off_mm(motion, u)) for u, start, end in motion.along
        ),
    }


def _write(
    book: Book, side: str, number: int, motion: Motion | None, fields: dict[str, Any]
) -> None:
    kind = Action.TURN if side == "front" else Action.CLEAR_TURN
    count, extra = 1, 0.0
    if motion is not None:
        kind = (FRONT if side == "front" else BACK)[motion.what]
        hand = book.draft.loom.hand
        count = -(-len(motion.units) // hand) if motion.what is What.ROLL else 1
        slide = book.minutes["shift" if side == "front" else "clear-shift"]
        extra = slide * len(moved_together(motion.along))
        extra += book.minutes["leg"] * max(0, len(motion.legs) - 1)
    elif abs(fields["half_turns"]) > 1:
        count = abs(fields["half_turns"])
    book.write(side, kind, span=number, count=count, extra_min=extra, **fields)

"""What does she do in one span, in front of the loom and behind it?

What happens in front of the reed happens in reverse behind it; behind.py clears it.
"""

from __future__ import annotations

from crossfell.plan.behind import clear_behind
from crossfell.plan.book import Book
from crossfell.plan.laying import Laying, laying_of, windows_at
from crossfell.plan.lays import Pass
from crossfell.plan.model import Action, Moment


def write_span(book: Book, k: int) -> None:
    """Write the steps of span k (index from 0)."""
    draft, work, number = book.draft, laying_of(book.order, k, book.draft.loom), k + 1
    height, case = draft.spans[k].height_mm, "" if work.off else "still"
    book.write("front", Action.DRAW, span=number, length_mm=height, case=case)
    if not work.off:
        _let_off(book, number)
        return
    book.handling.append(work.handling)
    book.write("front", Action.LEVEL, span=number, caution="springs")
    _weights(book, work, k, Action.WEIGHTS_OFF)
    book.write("front", Action.OPEN, span=number)
    for index, part in enumerate(work.passes):
        _lift(book, part, number, _which(work, index))
        _slide(book, number, work, index)
        _lay(book, number, work, index)
    if not work.passes:
        _slide(book, number, work, 0)
    _turn(book, number, work)
    book.write("front", Action.CHECK, span=number, after=book.moment(number))
    book.write("front", Action.CLOSE, span=number)
    clear_behind(book, number, work)
    _weights(book, work, k, Action.WEIGHTS_ON)
    _let_off(book, number)
    book.clamped = True
    book.write("front", Action.CLAMP, span=number, may_stop=True)
    book.write("front", Action.UNCHAIN, span=number, caution="springs")


def _which(work: Laying, index: int) -> tuple[int, int] | None:
    """Which pass it is; hands that pass in place are no passes to be told apart."""
    if work.handling.passes < 2 or len(work.passes) != work.handling.passes:
        return None
    return index + 1, len(work.passes)


def _let_off(book: Book, number: int) -> None:
    units = book.let_off.get(number, ())
    if units:
        book.write("back", Action.LET_OFF, span=number, count=len(units), units=units,
                   caution="weights")  # fmt: skip


def _weights(book: Book, work: Laying, k: int, kind: Action) -> None:
    at = k + (kind is Action.WEIGHTS_ON)
    windows = windows_at(book.order, at, work.off, book.draft.loom.hand)
    book.write("back", kind, span=k + 1, count=len(windows), windows=windows, caution="weights")


def _lift(book: Book, part: Pass, number: int, which: tuple[int, int] | None) -> None:
    for lays in part.takes:
        book.write_take("front", Action.LIFT, number, lays, part=which)


def _slide(book: Book, number: int, work: Laying, index: int) -> None:
    slides = work.slides(index)
    if not slides:
        return
    off_mm = work.off_mm(index, [u for u, _, _ in slides])
    book.write_slides("front", Action.SHIFT, number, slides, off_mm=off_mm)


def _lay(book: Book, number: int, work: Laying, index: int) -> None:
    for lay in work.passes[index].lays:
        off_mm = work.off_mm(index, lay.units)
        book.write_lay("front", Action.LAY, number, lay, off_mm=off_mm)


def _turn(book: Book, number: int, work: Laying) -> None:
    row, faces = book.moment(number).row, list(book.moment(number - 1).faces)
    for u, turns in work.turned:
        faces[u] = int(book.order.face[number, u])
        now = Moment(row=row, faces=tuple(faces))
        book.write("front", Action.TURN, span=number, units=(u,), half_turns=turns, after=now)

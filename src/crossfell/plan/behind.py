"""How is what was crossed in front of the reed cleared behind it?

By the same moves made with the bobbins, in the same order. Over stays over: up is up on both sides
of the loom.
"""

from __future__ import annotations

from crossfell.plan.book import Book
from crossfell.plan.laying import Laying
from crossfell.plan.model import Action


def clear_behind(book: Book, number: int, work: Laying) -> None:
    """Write the clearing of a span (number from 1)."""
    for index, part in enumerate(work.passes):
        for lays in part.takes:
            book.write_take("back", Action.CLEAR_LIFT, number, lays)
        _slide(book, number, work, index)
        for lay in part.lays:
            off_mm = work.off_mm(index, lay.units)
            book.write_lay("back", Action.CLEAR, number, lay, off_mm=off_mm)
    if not work.passes:
        _slide(book, number, work, 0)
    for u, turns in work.turned:
        book.write("back", Action.CLEAR_TURN, span=number, units=(u,), half_turns=turns)


def _slide(book: Book, number: int, work: Laying, index: int) -> None:
    slides = work.slides(index)
    if slides:
        off_mm = work.off_mm(index, [u for u, _, _ in slides])
        book.write_slides("back", Action.CLEAR_SHIFT, number, slides, off_mm=off_mm)

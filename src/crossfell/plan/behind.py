"""How is what was crossed in front of the reed cleared behind it?

By the same moves made with the bobbins, in the same order; the person who stands there counts
places from the other side. Over stays over: up is up on both sides of the loom.
"""

from __future__ import annotations

from crossfell.plan.book import Book
from crossfell.plan.laying import Laying
from crossfell.plan.lays import Lay, Pass
from crossfell.plan.wording import beside_text, lay_behind_text, names_of, turn_behind_text


def clear_behind(book: Book, k: int, work: Laying) -> None:
    """Write the clearing of span k (index from 0)."""
    for index, part in enumerate(work.passes):
        _hold(book, k, part)
        _slide(book, k, work, index)
        for lay in part.lays:
            _lay(book, k, lay, work.off_mm(index, lay.units))
    if not work.passes:
        _slide(book, k, work, 0)
    for u, turns in work.turned:
        book.write(
            "back",
            "clear-turn",
            turn_behind_text(book.order.names[u], turns, book.draft.at_loom(behind=True)),
            span=k + 1,
            units=(u,),
            half_turns=turns,
        )


def _hold(book: Book, k: int, part: Pass) -> None:
    seen = book.draft.at_loom(behind=True)
    for lays in part.takes:
        units = [u for lay in lays for u in lay.units]
        names = names_of([book.order.names[u] for u in seen.row(units)])
        bobbins = "bobbin" if len(units) == 1 else "bobbins"
        where = "below" if lays[0].from_below else "above"
        text = f"Hold the {bobbins} of {names} aside, {where} all others."
        book.write_take("back", "clear-lift", text, k + 1, lays)


def _lay(book: Book, k: int, lay: Lay, off_mm: tuple[float, ...]) -> None:
    beside = beside_text(book.draft, lay.units, off_mm, behind=True)
    text = lay_behind_text(lay, book.order.names, book.draft.at_loom(behind=True), beside)
    book.write_lay("back", "clear", text, k + 1, lay, off_mm)


def _slide(book: Book, k: int, work: Laying, index: int) -> None:
    slides = work.slides(index)
    if not slides:
        return
    behind, off_mm = book.draft.at_loom(behind=True), work.off_mm(index, [u for u, _, _ in slides])
    says = "; ".join(
        f"{book.order.names[u]} to place {behind.place(to)}"
        f"{beside_text(book.draft, (u,), (off,), behind=True)}"
        for (u, _, to), off in behind.row(list(zip(slides, off_mm, strict=True)))
    )
    bobbins = "bobbin" if len(slides) == 1 else "bobbins"
    text = f"Move along the {bobbins} of {says}, counted from behind."
    book.write_slides("back", "clear-shift", text, k + 1, slides, off_mm)

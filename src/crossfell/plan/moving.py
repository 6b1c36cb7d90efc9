"""What does she do in one span, in front of the loom and behind it?

What happens in front of the reed happens in reverse behind it; behind.py clears it.
"""

from __future__ import annotations

from crossfell.base.quantities import written
from crossfell.plan.behind import clear_behind
from crossfell.plan.book import Book
from crossfell.plan.laying import Laying, laying_of, windows_at
from crossfell.plan.lays import Pass
from crossfell.plan.wording import (
    beside_text,
    lay_text,
    names_of,
    row_text,
    turn_text,
    windows_text,
)


def write_span(book: Book, k: int) -> None:
    """Write the steps of span k (index from 0)."""
    draft, work, number = book.draft, laying_of(book.order, k, book.draft.loom), k + 1
    height = written(draft.spans[k].height_mm, draft.measure)
    still = "" if work.off else " Nothing moves."
    book.write(
        "front", "draw", f"Span {number}: draw the warp forward by {height}.{still}", span=number
    )
    if not work.off:
        _let_off(book, number)
        return
    book.handling.append(work.handling)
    book.write(
        "front", "level", "Batten level, chains on.", span=number, caution="springs"
    )  # fmt: skip
    _weights(book, work, k, "weights-off", "Weights off, one hand at a time")
    book.write("front", "open", "Open the batten.", span=number)
    for index, part in enumerate(work.passes):
        _lift(book, part, number, _which(work, index))
        _slide(book, k, work, index)
        _lay(book, k, work, index)
    if not work.passes:
        _slide(book, k, work, 0)
    _turn(book, k, work)
    row = row_text(book.order, k + 1, draft.at_loom())
    book.write(
        "front",
        "check",
        f"Look: from the left {row}.",
        span=number,
        after=book.batten.moment(),
    )
    book.write("front", "close", "Close the batten.", span=number)
    clear_behind(book, k, work)
    _weights(book, work, k, "weights-on", "Nothing is crossed behind the reed. Weights on")
    _let_off(book, number)
    book.clamped = True
    book.write("front", "clamp", "Clamp the new order.", span=number, may_stop=True)
    book.write("front", "unchain", "Chains off.", span=number, caution="springs")


def _which(work: Laying, index: int) -> str:
    """Which pass it is; hands that pass in place are no passes to be told apart."""
    if work.handling.passes < 2 or len(work.passes) != work.handling.passes:
        return ""
    return f"Pass {index + 1} of {len(work.passes)}: "


def _let_off(book: Book, number: int) -> None:
    units = book.let_off.get(number, ())
    if not units:
        return
    names = names_of([book.order.names[u] for u in units])
    says = f"Let off {names}: give yarn from each bobbin until its weight hangs low again."
    book.write("back", "let-off", says, span=number, count=len(units), caution="weights")


def _weights(book: Book, work: Laying, k: int, kind: str, says: str) -> None:
    windows = windows_at(book.order, k + (kind == "weights-on"), work.off, book.draft.loom.hand)
    where = windows_text(windows, book.draft.at_loom(behind=True))
    book.write(
        "back",
        kind,
        f"{says}: {where} (places from behind).",
        span=k + 1,
        count=len(windows),
        caution="weights",
        windows=windows,
        spoken=f"{kind.replace('-', ' ')}, {where}",
    )


def _lift(book: Book, part: Pass, number: int, which: str) -> None:
    for lays in part.takes:
        names = names_of([book.order.names[u] for lay in lays for u in lay.units])
        says = f"take {names} out below" if lays[0].from_below else f"lift out {names}"
        says = which + says if which else says.capitalize()[0] + says[1:]
        book.batten.take([place for lay in lays for place in lay.from_places])
        book.write_take("front", "lift", f"{says}.", number, lays, after=book.batten.moment())


def _slide(book: Book, k: int, work: Laying, index: int) -> None:
    slides = work.slides(index)
    if not slides:
        return
    names, off_mm = book.order.names, work.off_mm(index, [u for u, _, _ in slides])
    says = "; ".join(
        f"{names[u]} to place {to}{beside_text(book.draft, (u,), (off,))}"
        for (u, _, to), off in zip(slides, off_mm, strict=True)
    )
    book.batten.take([start for _, start, _ in slides])
    for u, _, to in slides:
        book.batten.put(u, to)
    text = f"Move along: {says}."
    book.write_slides("front", "shift", text, k + 1, slides, off_mm, after=book.batten.moment())


def _lay(book: Book, k: int, work: Laying, index: int) -> None:
    for lay in work.passes[index].lays:
        for unit, place in zip(lay.units, lay.to_places, strict=True):
            book.batten.put(unit, place)
        off_mm = work.off_mm(index, lay.units)
        beside = beside_text(book.draft, lay.units, off_mm)
        text = lay_text(lay, book.order.names, beside=beside)
        book.write_lay("front", "lay", text, k + 1, lay, off_mm, after=book.batten.moment())


def _turn(book: Book, k: int, work: Laying) -> None:
    for u, turns in work.turned:
        book.batten.turn(u, turns)
        book.write(
            "front",
            "turn",
            turn_text(book.order, k, u, turns),
            span=k + 1,
            units=(u,),
            half_turns=turns,
            after=book.batten.moment(),
        )

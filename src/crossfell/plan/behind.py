"""How is what was crossed in front of the reed cleared behind it?

By the same moves made with the bobbins, in the same order; the person who stands there counts
places from the other side. Over stays over: up is up on both sides of the loom.
"""

from __future__ import annotations

from crossfell.plan.book import Book
from crossfell.plan.laying import Laying, Slides
from crossfell.plan.lays import Lay, Pass
from crossfell.plan.wording import beside_text, lay_behind_text, names_of, turn_behind_text


def clear_behind(book: Book, k: int, work: Laying) -> None:
    """Write the clearing of span k (index from 0)."""
    for index, part in enumerate(work.passes):
        _hold(book, k, part)
        _slide(book, k, work.slides(index))
        for lay in part.lays:
            _lay(book, k, lay)
    if not work.passes:
        _slide(book, k, work.slid)
    for u, turns in work.turned:
        book.write(
            "back",
            "clear-turn",
            turn_behind_text(book.order.names[u], turns),
            span=k + 1,
            units=(u,),
            half_turns=turns,
        )


def _hold(book: Book, k: int, part: Pass) -> None:
    for below in (True, False):
        lays = [lay for lay in part.lays if lay.from_below is below]
        if not lays:
            continue
        units = tuple(u for lay in lays for u in lay.units)
        names = names_of([book.order.names[u] for u in reversed(units)])
        bobbins = "bobbin" if len(units) == 1 else "bobbins"
        where = "below" if below else "above"
        book.write(
            "back",
            "clear-lift",
            f"Hold the {bobbins} of {names} aside, {where} all others.",
            span=k + 1,
            count=len(lays),
            units=units,
            from_places=tuple(place for lay in lays for place in lay.from_places),
            below=below,
        )


def _lay(book: Book, k: int, lay: Lay) -> None:
    text = lay_behind_text(lay, book.order.names, book.draft.place_count)
    book.write(
        "back",
        "clear",
        text,
        span=k + 1,
        spoken=text.split(" (", maxsplit=1)[0].rstrip(".") + ".",
        units=lay.units,
        from_places=lay.from_places,
        to_places=lay.to_places,
        over=lay.over,
        under=lay.under,
        below=lay.from_below,
    )


def _slide(book: Book, k: int, slides: Slides) -> None:
    if not slides:
        return
    count = book.draft.place_count
    says = "; ".join(
        f"{book.order.names[u]} to place {count + 1 - to}"
        f"{beside_text(book.draft, book.order, k + 1, (u,), behind=True)}"
        for u, _, to in reversed(slides)
    )
    bobbins = "bobbin" if len(slides) == 1 else "bobbins"
    book.write(
        "back",
        "clear-shift",
        f"Move along the {bobbins} of {says}, counted from behind.",
        span=k + 1,
        count=len(slides),
        units=tuple(u for u, _, _ in slides),
        from_places=tuple(start for _, start, _ in slides),
        to_places=tuple(to for _, _, to in slides),
    )

"""What does she do in one span, in front of the loom and behind it?

What happens in front of the reed happens in reverse behind it; the moves that clear it are the
same moves made with the bobbins, in the same order, and the person who stands there counts places
from the other side. Over stays over: up is up on both sides of the loom.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from crossfell.base.quantities import written
from crossfell.plan.book import Book
from crossfell.plan.laying import Lay, Pass, passes_of_span
from crossfell.plan.wording import (
    beside_text,
    lay_text,
    names_of,
    row_text,
    turn_behind_text,
    turn_text,
    windows_text,
)


@dataclass(frozen=True, kw_only=True)
class SpanWork:
    """What moves in one span."""

    k: int  # index from 0
    passes: tuple[Pass, ...]
    turned: tuple[tuple[int, int], ...]  # unit, half turns
    slid: tuple[tuple[int, int, int], ...]  # unit that crosses nobody, from place, to place
    moved: frozenset[int]  # units that cross, turn or go sideways


def span_work(book: Book, k: int) -> SpanWork:
    """Who moves in span k (index from 0), and how."""
    order = book.order
    span = order.spans[k]
    crossed = set(span.over.tolist()) | set(span.under.tolist())
    turned = tuple((u, t) for u, t in enumerate(span.half_turns.tolist()) if t)
    slid = tuple(
        (u, int(order.place[k, u]), int(order.place[k + 1, u]))
        for u in range(len(order.names))
        if u not in crossed
        and (order.place[k, u], order.offset_mm[k, u])
        != (order.place[k + 1, u], order.offset_mm[k + 1, u])
    )
    moved = frozenset(crossed | {u for u, _ in turned} | {u for u, _, _ in slid})
    return SpanWork(k=k, passes=passes_of_span(order, k), turned=turned, slid=slid, moved=moved)


def write_span(book: Book, k: int) -> None:
    """Write the steps of span k (index from 0)."""
    draft, work, number = book.draft, span_work(book, k), k + 1
    height = written(draft.spans[k].height_mm, draft.measure)
    still = "" if work.moved else " Nothing moves."
    book.write(
        "front", "draw", f"Span {number}: draw the warp forward by {height}.{still}", span=number
    )
    if not work.moved:
        return
    book.write(
        "front", "level", "Batten level, chains on.", span=number, caution="springs"
    )  # fmt: skip
    _weights(book, work, "weights-off", "Weights off, one hand at a time")
    book.write("front", "open", "Open the batten.", span=number)
    for index, part in enumerate(work.passes):
        book.handled += len(part.lays)
        which = f"Pass {index + 1} of {len(work.passes)}: " if len(work.passes) > 1 else ""
        _lift(book, part, number, which)
        _slide(book, work, _slides(work, index))
        _lay(book, work, index)
    if not work.passes:
        _slide(book, work, work.slid)
    for u, turns in work.turned:
        book.batten.turn(u, turns)
        book.write(
            "front",
            "turn",
            turn_text(book.order, k, u, turns),
            span=number,
            units=(u,),
            half_turns=turns,
            after=book.batten.moment(),
        )
    row = row_text(book.order, k + 1, draft.place_count)
    book.write(
        "front",
        "check",
        f"Look: from the left {row}.",
        span=number,
        after=book.batten.moment(),
    )
    book.write("front", "close", "Close the batten.", span=number)
    _clear_behind(book, work)
    _weights(book, work, "weights-on", "Nothing is crossed behind the reed. Weights on")
    book.clamped = True
    book.write("front", "clamp", "Clamp the new order.", span=number, may_stop=True)
    book.write("front", "unchain", "Chains off.", span=number, caution="springs")


def _weights(book: Book, work: SpanWork, kind: str, says: str) -> None:
    band = work.k + (kind == "weights-on")
    places = [int(book.order.place[band, u]) for u in work.moved]
    windows = windows_of(places, book.draft.loom.hand)
    where = windows_text(windows, book.draft.place_count)
    book.write(
        "back",
        kind,
        f"{says}: {where} (places from behind).",
        span=work.k + 1,
        count=len(windows),
        caution="weights",
        windows=windows,
        spoken=f"{kind.replace('-', ' ')}, {where}",
    )


def _lift(book: Book, part: Pass, number: int, which: str) -> None:
    for below in (True, False):
        lays = [lay for lay in part.lays if lay.from_below is below]
        if not lays:
            continue
        names = names_of([book.order.names[lay.unit] for lay in lays])
        says = f"take {names} out below" if below else f"lift out {names}"
        says = which + says if which else says.capitalize()[0] + says[1:]
        places = tuple(lay.from_place for lay in lays)
        book.batten.take(places)
        book.write(
            "front",
            "lift",
            f"{says}.",
            span=number,
            count=len(lays),
            units=tuple(lay.unit for lay in lays),
            from_places=places,
            below=below,
            after=book.batten.moment(),
        )


def _slides(work: SpanWork, index: int) -> tuple[tuple[int, int, int], ...]:
    """What goes along in a pass: who stays in it; in the last also who crosses nobody at all."""
    slides = work.passes[index].slides
    if index < len(work.passes) - 1:
        return slides
    there = {u for u, _, _ in slides}
    return (*slides, *(slide for slide in work.slid if slide[0] not in there))


def _slide(book: Book, work: SpanWork, slides: tuple[tuple[int, int, int], ...]) -> None:
    if not slides:
        return
    names, band = book.order.names, work.k + 1
    says = "; ".join(
        f"{names[u]} to place {to}{beside_text(book.draft, book.order, band, u)}"
        for u, _, to in slides
    )
    book.batten.take([start for _, start, _ in slides])
    for u, _, to in slides:
        book.batten.put(u, to)
    book.write(
        "front",
        "shift",
        f"Move along: {says}.",
        span=band,
        count=len(slides),
        units=tuple(u for u, _, _ in slides),
        from_places=tuple(start for _, start, _ in slides),
        to_places=tuple(to for _, _, to in slides),
        after=book.batten.moment(),
    )


def _lay(book: Book, work: SpanWork, index: int) -> None:
    last = index == len(work.passes) - 1
    for lay in work.passes[index].lays:
        book.batten.put(lay.unit, lay.to_place)
        beside = beside_text(book.draft, book.order, work.k + 1, lay.unit) if last else ""
        text = lay_text(lay, book.order.names, beside=beside)
        _write_lay(book, work, "front", "lay", lay, text)


def _write_lay(book: Book, work: SpanWork, side: str, kind: str, lay: Lay, text: str) -> None:
    book.write(
        side,
        kind,
        text,
        span=work.k + 1,
        spoken=text.split(" (", maxsplit=1)[0].rstrip(".") + ".",
        units=(lay.unit,),
        from_places=(lay.from_place,),
        to_places=(lay.to_place,),
        over=lay.over,
        under=lay.under,
        below=lay.from_below,
        after=book.batten.moment() if side == "front" else None,
    )


def _clear_behind(book: Book, work: SpanWork) -> None:
    for index, part in enumerate(work.passes):
        _lift_behind(book, part, work.k + 1)
        _slide_behind(book, work, _slides(work, index))
        for lay in part.lays:
            text = lay_text(
                _from_behind(lay, book.draft.place_count), book.order.names, what="the bobbin of "
            )
            _write_lay(book, work, "back", "clear", lay, text)
    if not work.passes:
        _slide_behind(book, work, work.slid)
    for u, turns in work.turned:
        book.write(
            "back",
            "clear-turn",
            turn_behind_text(book.order.names[u], turns),
            span=work.k + 1,
            units=(u,),
            half_turns=turns,
        )


def _from_behind(lay: Lay, count: int) -> Lay:
    """The same lay for who stands behind: places mirrored, names from her left."""
    return replace(
        lay,
        from_place=count + 1 - lay.from_place,
        to_place=count + 1 - lay.to_place,
        over=lay.over[::-1],
        under=lay.under[::-1],
        later_over=lay.later_over[::-1],
        later_under=lay.later_under[::-1],
    )


def _lift_behind(book: Book, part: Pass, number: int) -> None:
    for below in (True, False):
        lays = [lay for lay in part.lays if lay.from_below is below]
        if not lays:
            continue
        names = names_of([book.order.names[lay.unit] for lay in reversed(lays)])
        where = "below" if below else "above"
        book.write(
            "back",
            "clear-lift",
            f"Hold the bobbins of {names} aside, {where} all others.",
            span=number,
            count=len(lays),
            units=tuple(lay.unit for lay in lays),
            from_places=tuple(lay.from_place for lay in lays),
            below=below,
        )


def _slide_behind(book: Book, work: SpanWork, slides: tuple[tuple[int, int, int], ...]) -> None:
    if not slides:
        return
    count = book.draft.place_count
    says = "; ".join(
        f"{book.order.names[u]} to place {count + 1 - to}"
        f"{beside_text(book.draft, book.order, work.k + 1, u, behind=True)}"
        for u, _, to in reversed(slides)
    )
    book.write(
        "back",
        "clear-shift",
        f"Move along the bobbins of {says}, counted from behind.",
        span=work.k + 1,
        count=len(slides),
        units=tuple(u for u, _, _ in slides),
        from_places=tuple(start for _, start, _ in slides),
        to_places=tuple(to for _, _, to in slides),
    )


def windows_of(places: list[int], hand: int) -> tuple[tuple[int, int], ...]:
    """Runs of neighbouring places that one hand takes: (first, last), from the left."""
    windows: list[tuple[int, int]] = []
    for place in sorted(places):
        if windows and place == windows[-1][1] + 1 and place - windows[-1][0] < hand:
            windows[-1] = (windows[-1][0], place)
        else:
            windows.append((place, place))
    return tuple(windows)

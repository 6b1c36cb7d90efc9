"""What does she do, one step after another, at the bench, in front of the loom and behind it?

Every plan is rehearsed on a model of the loom before it is handed out.
"""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType

from crossfell.base.quantities import written, written_long
from crossfell.draft.model import Draft
from crossfell.loom.letoff import Trip
from crossfell.order.model import Order
from crossfell.paths.model import Paths
from crossfell.paths.stage import weft_name
from crossfell.plan.amounts import Amounts
from crossfell.plan.book import Book, book_of
from crossfell.plan.minutes import days_of, span_times_of, times_of
from crossfell.plan.model import Plan
from crossfell.plan.moving import write_span
from crossfell.plan.rehearsal import rehearsed
from crossfell.plan.wording import names_of, row_text


def plan_of(
    draft: Draft, order: Order, paths: Paths, amounts: Amounts, trips: Sequence[Trip] = ()
) -> Plan:
    """Write the whole plan and rehearse it. Errors: Refused, which is our fault."""
    book = book_of(draft, order)
    book.let_off = {trip.span: trip.units for trip in trips}
    _before(book, amounts)
    for k in range(len(draft.spans) + 1):
        if k:
            write_span(book, k - 1)
        _band(book, k, paths)
    _after(book)
    steps = tuple(book.steps)
    moving = {step.span for step in steps if step.kind == "open"}
    return Plan(
        steps=steps,
        handled=sum(span.lifted for span in book.handling),
        hands=sum(span.hands for span in book.handling),
        windows=sum(span.windows for span in book.handling),
        handling=tuple(book.handling),
        minutes=sum(step.minutes for step in steps),
        walks=book.walks,
        walks_needed=1 + 4 * len(moving) + 2 * len(set(book.let_off) - moving),
        rehearsed=rehearsed(draft, order, steps),
        times=times_of(steps),
        span_times=MappingProxyType(span_times_of(steps)),
        days=days_of(steps, book.minutes["day"]),
    )


def _before(book: Book, amounts: Amounts) -> None:
    draft = book.draft
    for kind in draft.kinds.values():
        units = [u for u, unit in enumerate(draft.units) if unit.kind == kind.name]
        if not units:
            continue
        names = names_of([draft.units[u].name for u in units])
        longest = max(amounts.windings[u].total_mm for u in units)
        length = written_long(longest, draft.measure)
        book.write(
            "bench",
            "wind",
            f"Wind {names}: {kind.ends_text}, {length} each or as the winding list says.",
            count=len(units),
            units=tuple(units),
            may_stop=True,
        )
    book.write(
        "bench",
        "thread",
        "Thread each strip from its left, one end in each dent, and tie its label on.",
        count=len(draft.units),
        may_stop=True,
    )
    row = row_text(book.order, 0, draft.at_loom(behind=True))
    book.write(
        "back",
        "hang",
        "Hang each bobbin over the back beam with its weight, in the order "
        f"of the warp: {row} "
        "(from behind, your left first).",
        count=len(draft.units),
        caution="weights",
        may_stop=True,
    )
    book.write(
        "front",
        "sampler",
        "Weave a sampler band, measure take-up and drying, and put them into workshop.toml.",
        caution="springs",
        may_stop=True,
    )


def _band(book: Book, k: int, paths: Paths) -> None:
    draft, band, number = book.draft, book.draft.bands[k], k + 1
    weft = weft_name(draft, band)
    for run in band.runs:
        if isinstance(run, int):
            sheds = tuple(book.next_shed() for _ in range(run))
            if sheds:
                picks = "1 pick" if run == 1 else f"{run} picks"
                book.write(
                    "front",
                    "pick",
                    f"Band {number}: {picks} of {weft}: {', '.join(sheds)}.",
                    band=number,
                    count=run,
                    sheds=sheds,
                    spoken=", ".join(sheds),
                )
        elif band.rod:
            length = paths.width_total_mm + 2 * draft.stock.overhang_mm
            shed = book.next_shed()
            book.write(
                "front",
                "rod",
                f"Band {number}: lay in the rod {band.rod.label}, "
                f"{written(length, draft.measure)}, in the shed {shed}.",
                band=number,
                caution="rods",
                sheds=(shed,),
            )
    if band.adhesive:
        recipe = draft.adhesive
        book.wet_min = recipe.handle_min
        book.full_min = max(recipe.full_min - recipe.handle_min, 0.0)
        book.write(
            "front",
            "adhesive",
            f"Band {number}: brush with {recipe.name}, "
            f"{recipe.parts:g} to {recipe.water:g} of water. Let it dry "
            f"{recipe.handle_min / 60:g} h before it is handled.",
            band=number,
            caution="adhesive",
            may_stop=True,
        )
    else:
        book.full_min = 0.0
    if book.clamped:
        book.clamped = False
        dry = " is dry" if band.adhesive else " is woven"
        book.write(
            "front",
            "unclamp",
            f"Band {number}{dry}: clamp off.",
            band=number,
            can_wait=True,
            may_stop=True,
        )


def _after(book: Book) -> None:
    book.write(
        "front",
        "cut-down",
        "Tie the finish above the last band. Let all weights down one "
        "by one, then cut the piece from the loom; two people hold the rods.",
        caution="weights",
        may_stop=True,
    )
    book.write(
        "bench",
        "finish",
        "Finish the ends, cap the rods, let the bands air some weeks before the piece is boxed.",
        caution="adhesive",
        can_wait=True,
        may_stop=True,
    )

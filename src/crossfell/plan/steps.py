"""What does she do, one step after another, at the bench, in front of the loom and behind it?

Every plan is rehearsed on a model of the loom before it is handed out.
"""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType

from crossfell.draft.model import Draft
from crossfell.loom.letoff import Trip
from crossfell.order.model import Order
from crossfell.paths.model import Paths
from crossfell.paths.stage import weft_name
from crossfell.plan.amounts import Amounts
from crossfell.plan.book import Book, book_of
from crossfell.plan.minutes import days_of, span_times_of, times_of
from crossfell.plan.model import Action, Plan
from crossfell.plan.moving import write_span
from crossfell.plan.rehearsal import rehearsed


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
    moving = {step.span for step in steps if step.kind is Action.OPEN}
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
        book.write(
            "bench",
            Action.WIND,
            count=len(units),
            units=tuple(units),
            ends=kind.ends_text,
            length_mm=max(amounts.windings[u].total_mm for u in units),
            may_stop=True,
        )
    count = len(draft.units)
    book.write("bench", Action.THREAD, count=count, may_stop=True)
    lie = book.moment(0)
    book.write("back", Action.HANG, count=count, after=lie, caution="weights", may_stop=True)
    book.write("front", Action.SAMPLER, caution="springs", may_stop=True)


def _band(book: Book, k: int, paths: Paths) -> None:
    draft, band, number = book.draft, book.draft.bands[k], k + 1
    weft = weft_name(draft, band)
    for run in band.runs:
        if isinstance(run, int):
            sheds = tuple(book.next_shed() for _ in range(run))
            if sheds:
                book.write("front", Action.PICK, band=number, count=run, picks=run, weft=weft,
                           sheds=sheds)  # fmt: skip
        elif band.rod:
            book.write("front", Action.ROD, band=number, rod=band.rod.label,
                       length_mm=paths.rod_mm(k), sheds=(book.next_shed(),),
                       caution="rods")  # fmt: skip
    if band.adhesive:
        recipe = draft.adhesive
        book.wet_min = recipe.handle_min
        book.full_min = max(recipe.full_min - recipe.handle_min, 0.0)
        book.write("front", Action.ADHESIVE, band=number, recipe=recipe, caution="adhesive",
                   may_stop=True)  # fmt: skip
    else:
        book.full_min = 0.0
    if book.clamped:
        book.clamped = False
        case = "" if band.adhesive else "woven"
        book.write("front", Action.UNCLAMP, band=number, case=case, can_wait=True, may_stop=True)


def _after(book: Book) -> None:
    book.write("front", Action.CUT_DOWN, caution="weights", may_stop=True)
    book.write("bench", Action.FINISH, caution="adhesive", can_wait=True, may_stop=True)

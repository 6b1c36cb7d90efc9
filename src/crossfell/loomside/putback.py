"""How is a span put right while its weights are off, or while the batten is level?

While the batten is open, or only what is behind the reed is still to be cleared, the strips are
put right in front and the plan then goes on as it is. Where the weights hang again, the batten is
opened once more, and all of it is cleared behind the loom too.
"""

from __future__ import annotations

from collections.abc import Sequence

from crossfell.loomside.leading import LedPlan
from crossfell.loomside.rehearsing import (
    batten_with,
    loom_with,
    need_as_planned,
    need_braid,
    walked,
)
from crossfell.loomside.wrongs import WayBack, Wrong, as_it_lies, book_at, put_right
from crossfell.plan.book import Book, book_of
from crossfell.plan.loom_states import RehearsedLoom
from crossfell.plan.model import WITH_STRIPS, Action, Step
from crossfell.plan.moving import write_span
from crossfell.plan.windows import windows_of

_STRIPS = WITH_STRIPS | {"check"}
_FRONT = _STRIPS | {"open", "close"}
_CHAINS = frozenset({"draw", "level", "clamp", "unchain"})  # done already, or still to come


def while_off(plan: LedPlan, wrong: Wrong, at: int, *, is_open: bool) -> WayBack:
    """Only what is in front of the reed is put right. Errors: StepRefused."""
    book = _written(plan, wrong, "front")
    steps = [step for step in book.steps if step.kind in (_STRIPS if is_open else _FRONT)]
    if steps and steps[-1].kind == plan.steps[at].kind == "check":
        steps.pop()
    loom = loom_with(plan, at, wrong.did, hung=False)
    still_on = sorted({u for step in steps for u in step.moving if loom.weight_on[u]})
    then = None
    if still_on:
        places = [loom.bobbins.place[u] for u in still_on]
        steps.insert(0, weights_step(plan, wrong.span, Action.WEIGHTS_OFF, "few", places))
        places = plan.piece.order.place[wrong.span, still_on].tolist()
        on = weights_step(plan, wrong.span, Action.WEIGHTS_ON, "again", places)
        then = (_index(plan, wrong.span, at, Action.WEIGHTS_ON), on)
    sights = walked(loom, batten_with(plan, at, wrong.did, hung=False), steps)
    _need(plan, at, wrong, loom, steps, still_on)
    return WayBack(at=at, steps=tuple(steps), sights=sights, then=then)


def while_level(plan: LedPlan, wrong: Wrong, at: int) -> WayBack:
    """The weights hang again, the new order is not clamped: open once more. Errors: StepRefused."""
    book = _written(plan, wrong, plan.steps[at - 1].side)
    steps = [step for step in book.steps if step.kind not in _CHAINS]
    loom = loom_with(plan, at, wrong.did, hung=True)
    sights = walked(loom, batten_with(plan, at, wrong.did, hung=True), steps)
    _need(plan, at, wrong, loom, steps)
    return WayBack(at=at, steps=tuple(steps), sights=sights)


def _written(plan: LedPlan, wrong: Wrong, side: str) -> Book:
    book = book_at(plan, put_right(plan, as_it_lies(plan, wrong), wrong), side)
    write_span(book, wrong.span)
    book.steps = [step._replace(span=wrong.span) for step in book.steps]
    return book


def _need(
    plan: LedPlan,
    at: int,
    wrong: Wrong,
    loom: RehearsedLoom,
    steps: Sequence[Step],
    more_off: Sequence[int] = (),
) -> None:
    last = steps[-1] if steps else plan.steps[at]
    need_as_planned(plan, at, loom, last, more_off)
    need_braid(loom, wrong.meant.word, wrong.meant.turns, last)


def weights_step(plan: LedPlan, span: int, kind: Action, case: str, places: Sequence[int]) -> Step:
    """Weights off, or on, at places of their own."""
    draft = plan.piece.draft
    others = set(range(1, draft.place_count + 1)) - set(places)
    windows = windows_of(places, draft.loom.hand, others)
    book = book_of(draft, plan.piece.order)
    book.side = "back"
    book.write("back", kind, span=span, case=case, count=len(windows), windows=windows,
               caution="weights")  # fmt: skip
    return book.steps[0]


def _index(plan: LedPlan, span: int, at: int, kind: Action) -> int:
    to_come = range(at, len(plan.steps))
    return next(i for i in to_come if plan.steps[i].span == span and plan.steps[i].kind == kind)

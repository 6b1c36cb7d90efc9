"""How do the steps of a way back come into the plan that she is led through?

What she said went wrong, and where she was, stands in the record; the steps are worked out from it
again, so that every screen, and tomorrow's, leads the same way. They belong to one text of the
draft: when that is changed, the plan of the new text stands alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from crossfell.loomside.answering import (
    NotShown,
    WaysOn,
    answer,
    answer_band,
    answer_weights,
    shown_from_words,
    span_asked,
)
from crossfell.loomside.leading import LedPlan
from crossfell.loomside.wrongs import WayBack
from crossfell.record.events import Event
from crossfell.record.identity import WAY_BACK, keys_of


def led(base: LedPlan, events: Sequence[Event]) -> LedPlan:
    """The plan of a draft with every way back that she chose to walk."""
    plan = base
    for number, event in enumerate(ways_of(base, events), 1):
        plan = replace(_with_way(plan, event, number), draft=f"{base.draft}-{number}")
    return plan


def ways_of(plan: LedPlan, events: Sequence[Event]) -> list[Event]:
    """Mistakes of a text of the draft whose ways back are walked."""
    draft = plan.draft.partition("-")[0]
    said = [event for event in events if event.kind == "mistake" and event.draft == draft]
    dropped = {event.says.get("drop") for event in said}
    return [event for event in said if "drop" not in event.says and event.id not in dropped]


def answered_from(plan: LedPlan, at: int, says: Mapping[str, object]) -> WaysOn:
    """The answer to what she says, in words and whole numbers, being at step `at` (index).

    {span, row, other_way, turned}; or {band, picks}, without `picks`: no rod; or {weights}. Errors:
    NotShown.
    """
    if at in plan.aside:
        raise NotShown("you are on a way back: walk it to its end first, or leave it")
    if "weights" in says:
        names = str(says["weights"]).split()
        if len(names) != 2:
            raise NotShown("name two units")
        return answer_weights(plan, at, *names)
    if "band" in says:
        picks = says.get("picks")
        return answer_band(
            plan, at, _number(says["band"]), None if picks is None else _number(picks)
        )
    span = says.get("span")
    number = span_asked(plan, at, None if span is None else _number(span))
    pairs = [pair.split() for pair in str(says.get("other_way", "")).split(",") if pair.strip()]
    if any(len(pair) != 2 for pair in pairs):
        raise NotShown("name two strips that cross")
    shown = shown_from_words(
        plan,
        str(says.get("row", "")).split(),
        [(pair[0], pair[1]) for pair in pairs],
        str(says.get("turned", "")).split(),
    )
    return answer(plan, at, number, shown)


def _number(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise NotShown("a number is a whole one")
    return value


def _with_way(plan: LedPlan, event: Event, number: int) -> LedPlan:
    at = plan.index_of(str(event.says.get("at", "")))
    if at is None:
        return plan
    try:
        way = answered_from(plan, at, event.says).back
    except NotShown:
        return plan
    return plan_with(plan, way, number) if isinstance(way, WayBack) else plan


def plan_with(plan: LedPlan, way: WayBack, number: int) -> LedPlan:
    """The plan with the steps of a way back, the `number`th of this text of the draft."""
    at, more = way.at, len(way.steps)
    new = [*way.steps, *((way.then[1],) if way.then else ())]
    own = [f"{WAY_BACK}{number}: {key}" for key in keys_of(new, plan.piece.order.names)]
    steps = [*plan.steps[:at], *way.steps, *plan.steps[at:]]
    keys = [*plan.keys[:at], *own[:more], *plan.keys[at:]]
    sights = [*plan.sights[:at], *way.sights[:-1], *plan.sights[at:]]
    aside = {i + more if i >= at else i for i in plan.aside} | set(range(at, at + more))
    if way.then:
        after = way.then[0] + more + 1
        steps.insert(after, way.then[1])
        keys.insert(after, own[-1])
        sights.insert(after, sights[after])
        aside = {i + 1 if i >= after else i for i in aside} | {after}
    return replace(
        plan,
        steps=tuple(step._replace(number=i) for i, step in enumerate(steps, 1)),
        keys=tuple(keys),
        sights=tuple(sights),
        aside=frozenset(aside),
    )

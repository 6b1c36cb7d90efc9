"""Can the plan be done on the loom, and does it end as drafted?

A model of the loom goes through every step. After each span the order kernel compares: the braid
that the lays made in front of the reed with that of the draft, and what is left behind the reed
with nothing.
"""

from __future__ import annotations

from collections.abc import Sequence

from crossfell.draft.model import Draft
from crossfell.order.braid import same_braid
from crossfell.order.model import Order
from crossfell.plan.loom_states import RehearsedLoom, StepRefused
from crossfell.plan.model import Rehearsed, Step

__all__ = ["RehearsedLoom", "StepRefused", "rehearsed", "undone"]


def rehearsed(draft: Draft, order: Order, steps: Sequence[Step]) -> Rehearsed:
    """Go through every step on a model of the loom. Errors: StepRefused."""
    loom = RehearsedLoom(draft)
    spans = letters = 0
    for step in steps:
        if step.band and step.band - 1 > spans:
            _compare(loom, order, spans, step)
            letters += len(loom.front) + len(loom.by_bobbins)
            spans += 1
        _do(loom, step)
    return Rehearsed(steps=len(steps), spans=spans, letters=letters)


def undone(draft: Draft, order: Order, steps: Sequence[Step], first: int) -> Rehearsed:
    """Go through steps that undo spans; those of `order` from `first` (index from 0) go backwards.

    Errors: StepRefused.
    """
    lie = (order.place[first].tolist(), order.face[first].tolist(), order.offset_mm[first].tolist())
    loom = RehearsedLoom.after_band(draft, *lie)
    k, letters = first, 0
    for number, step in enumerate(steps):
        if step.kind == "cut-out" and number:
            _compare(loom, order, k, step)
            letters += len(loom.front) + len(loom.by_bobbins)
            k += 1
        _do(loom, step)
    if steps:
        _compare(loom, order, k, steps[-1])
        k += 1
    return Rehearsed(steps=len(steps), spans=k - first, letters=letters)


def _do(loom: RehearsedLoom, step: Step) -> None:
    loom.do(step)
    if step.side == "front" and step.after is not None:
        loom_says = (loom.row(), tuple(loom.faces))
        if loom_says != (step.after.row, step.after.faces):
            raise StepRefused(step, "it leaves the strips otherwise than it says")


def _compare(loom: RehearsedLoom, order: Order, k: int, step: Step) -> None:
    """Hold the loom against the draft before the band after span k (index from 0) is woven."""
    n, span = len(order.names), order.spans[k]
    if not same_braid(n, loom.front, span.word):
        raise StepRefused(step, f"span {k + 1} is not crossed as drafted")
    if loom.turns_front != span.half_turns.tolist():
        raise StepRefused(step, f"span {k + 1} is not turned as drafted")
    if not loom.is_clear_behind() or any(loom.turns_behind):
        raise StepRefused(step, "something is crossed or twisted behind the reed")
    if [loom.strips.place[u] for u in range(n)] != order.place[k + 1].tolist():
        raise StepRefused(step, f"the units do not lie as drafted after span {k + 1}")
    if loom.strips.off_mm != order.offset_mm[k + 1].tolist():
        raise StepRefused(
            step, f"units stand otherwise in their places than drafted after span {k + 1}"
        )
    if loom.faces != order.face[k + 1].tolist():
        raise StepRefused(step, f"the faces do not lie as drafted after span {k + 1}")

"""Which steps lead back from a slip to where the plan says, and what do they cost?

What is missing is a braid: what was laid undone, then what was planned; and the turns that are
missing. It is made as any span is: the fewest strips, in steps for the front and the back. While
the batten is open only the strips are moved; where the weights hang again, all of it is cleared
behind the loom too; bands woven since are cut out, spans made since are undone, and both are made
again by the plan's own steps (cutback.py).
Checked: a model of the loom goes through the steps, and must then stand as the plan says.
"""

from __future__ import annotations

from crossfell.loomside.cutback import cut_back
from crossfell.loomside.leading import LedPlan
from crossfell.loomside.mistake import Slip, SpanMoves, moves_of_span, outcome_of
from crossfell.loomside.putback import while_level, while_off
from crossfell.loomside.wrongs import NoWayBack, WayBack, Wrong
from crossfell.plan.loom_states import StepRefused
from crossfell.plan.model import Step


def way_back(plan: LedPlan, span: SpanMoves, slip: Slip, at: int) -> WayBack | NoWayBack:
    """The way back from a slip in a span, she being at the step of index `at`."""
    at_rest = _at_rest(plan, span, slip, at)
    if at_rest is None:
        return NoWayBack(
            says="strips are still lifted: lay them in the empty places, one after another, and "
            "show how they lie then"
        )
    at, wrong = at_rest
    kinds = {s.kind for s in _steps_of(plan, span.span, at)}
    try:
        if "weights-on" not in kinds:
            return while_off(plan, wrong, at, is_open="close" not in kinds)
        if "clamp" not in kinds:
            return while_level(plan, wrong, at)
        return cut_back(plan, span.span, at, wrong)
    except StepRefused:
        return NoWayBack(says="no steps are known that lead back from there: cut the band out")


def _steps_of(plan: LedPlan, span: int, at: int) -> list[Step]:
    """Steps of a span before index `at`, without any way back."""
    before = enumerate(plan.steps[:at])
    return [step for i, step in before if step.span == span and i not in plan.aside]


def _at_rest(plan: LedPlan, span: SpanMoves, slip: Slip, at: int) -> tuple[int, Wrong] | None:
    """When nothing is lifted: now, or once the span is laid as planned, as far as that goes."""
    meant = outcome_of(span, span.moves)
    if meant is None:
        raise AssertionError("the plan was rehearsed")
    if not meant.held and not slip.outcome.held:
        return at, Wrong(span=span.span, did=slip.outcome, meant=meant)
    to_come = range(at, len(plan.steps))
    look = next((i for i in to_come if plan.steps[i].kind == "check"), len(plan.steps))
    whole = moves_of_span(plan, span.span, look)
    did = outcome_of(whole, (*slip.did, *whole.moves[len(slip.did) :]))
    meant = outcome_of(whole, whole.moves)
    if did is None or did.held or meant is None or meant.held:
        return None
    return look, Wrong(span=span.span, did=did, meant=meant)

"""How does the loom stand at a step of the plan, and does it stand so again after a way back?"""

from __future__ import annotations

from collections.abc import Sequence

from crossfell.loomside.leading import LedPlan
from crossfell.loomside.mistake import Outcome
from crossfell.loomside.sights import Sight, sights_from
from crossfell.order.batten import Batten, batten_at
from crossfell.order.braid import same_braid
from crossfell.plan.following import follow_all
from crossfell.plan.loom_states import RehearsedLoom, StepRefused
from crossfell.plan.model import Step
from crossfell.plan.strands import Strands


def loom_at(plan: LedPlan, at: int) -> RehearsedLoom:
    """The loom as it stands, as planned, before the step of index `at`."""
    loom = RehearsedLoom(plan.piece.draft)
    for i, step in enumerate(plan.steps[:at]):
        if i not in plan.aside:
            loom.do(step)
    return loom


def loom_with(plan: LedPlan, at: int, did: Outcome, *, hung: bool) -> RehearsedLoom:
    """The same, but the strips lie as they were really laid in this span.

    `hung`: the weights hang again, so behind the reed nothing is crossed either.
    """
    loom = loom_at(plan, at)
    turns = list(did.turns)
    places = [place for _, place in sorted(did.strips().at.items())]
    missing = [was - now for was, now in zip(loom.turns_front, turns, strict=True)]
    loom.strips, loom.faces = Strands(places, did.off_mm), list(did.faces)
    loom.front, loom.turns_front = list(did.word), turns
    if hung:
        loom.bobbins, loom.by_bobbins = Strands(places, did.off_mm), list(did.word)
        loom.turns_behind = [0] * len(turns)
    else:
        loom.turns_behind = [now + by for now, by in zip(loom.turns_behind, missing, strict=True)]
    return loom


def batten_with(plan: LedPlan, at: int, did: Outcome, *, hung: bool) -> Batten:
    """What lies where before the step of index `at`, the strips of this span as really laid."""
    draft, order = plan.piece.draft, plan.piece.order
    before = (step for i, step in enumerate(plan.steps[:at]) if i not in plan.aside)
    batten = follow_all(batten_at(order, 0, draft.place_count), before)
    return Batten(did.strips(), did.strips() if hung else batten.bobbins)


def walked(loom: RehearsedLoom, batten: Batten, steps: Sequence[Step]) -> tuple[Sight, ...]:
    """Do steps on a loom, which checks them; what she sees before each, and after the last.

    Errors: StepRefused.
    """
    for step in steps:
        loom.do(step)
    return sights_from(batten, steps)


def need_as_planned(
    plan: LedPlan, at: int, loom: RehearsedLoom, last: Step, more_off: Sequence[int]
) -> None:
    """The loom must stand as before step `at`, save weights `more_off`. Errors: StepRefused."""
    wanted = loom_at(plan, at)
    for unit in more_off:
        wanted.weight_on[unit] = False
    both = [
        (
            each.strips.place,
            each.bobbins.place,
            [[round(off, 3) for off in row.off_mm] for row in (each.strips, each.bobbins)],
            each.faces,
            each.weight_on,
            (each.batten, each.is_open, each.clamped, each.woven > 0, each.dry_for_min is None),
        )
        for each in (loom, wanted)
    ]
    if both[0] != both[1]:
        raise StepRefused(last, "the loom does not stand as the plan says after it")


def need_braid(loom: RehearsedLoom, word: Sequence[int], turns: Sequence[int], last: Step) -> None:
    """What was crossed and turned in front must be this. Errors: StepRefused."""
    if not same_braid(len(loom.names), loom.front, word) or loom.turns_front != list(turns):
        raise StepRefused(last, "the strips are not crossed as planned after it")

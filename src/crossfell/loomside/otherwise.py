"""What if a band was not woven as planned, or two weights hang on each other's units?

That is not seen by how the strips lie: she says it. A band is cut out and woven again, with all
that was made since; weights are exchanged the next time that the batten is on its chains.
"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.loomside.cutback import cut_back
from crossfell.loomside.leading import LedPlan
from crossfell.loomside.putback import weights_step
from crossfell.loomside.rehearsing import loom_at
from crossfell.loomside.wrongs import NoWayBack, WayBack
from crossfell.plan.loom_states import StepRefused
from crossfell.plan.model import Action


@dataclass(frozen=True, kw_only=True)
class LiveWith:
    """What it means to leave it so."""

    says: str
    minutes: float = 0.0


def band_way_back(plan: LedPlan, band: int, at: int) -> WayBack | NoWayBack:
    """Cut out down to a band (number) and weave it again."""
    try:
        return cut_back(plan, band - 1, at, None)
    except StepRefused:
        return NoWayBack(says="no steps are known that lead back to that band")


def band_left(plan: LedPlan, band: int, picks: int | None) -> LiveWith:
    """Leave a band with so many picks, or, without `picks`, without its rod."""
    drafted = plan.piece.draft.bands[band - 1]
    if picks is None:
        says = (
            "the band has no rod: it sags between its units, and the weight of the rod is missing "
            "below; one shed less was used"
        )
        missing = drafted.rod_count
    else:
        says = f"the band has {picks} picks instead of {drafted.pick_count}"
        missing = drafted.pick_count - picks
    if missing % 2:
        says += (
            ". Sheds then come the other way round: a pick in the shed of the one before it falls "
            "out, so weave one pick more or less in the next band"
        )
    return LiveWith(says=says)


def weights_way_back(plan: LedPlan, units: tuple[int, int], at: int) -> WayBack | NoWayBack:
    """Exchange the weights of two units where the batten is on its chains next."""
    loom = loom_at(plan, at)
    while not (loom.batten == "level" and not loom.is_open and all(loom.weight_on)):
        if at >= len(plan.steps) or plan.steps[at].kind == "cut-down":
            return NoWayBack(says="the batten is not put on its chains any more: leave it")
        if at not in plan.aside:
            loom.do(plan.steps[at])
        at += 1
    span = plan.steps[at].span or plan.steps[at - 1].span or 1
    places = sorted(loom.bobbins.place[u] for u in units)
    steps = (
        weights_step(plan, span, Action.WEIGHTS_OFF, "few", places),
        weights_step(plan, span, Action.WEIGHTS_ON, "exchanged", places),
    )
    for step in steps:
        loom.do(step)
    return WayBack(at=at, steps=steps, sights=(plan.sights[at],) * (len(steps) + 1))


def weights_left(plan: LedPlan, units: tuple[int, int]) -> LiveWith:
    """What each unit is pulled with if two weights stay exchanged."""
    names, state = plan.piece.order.names, plan.piece.loom
    masses = [float(state.hangs_g[0, u]) for u in units]
    bobbins = [m - float(state.handed.mass_g[u]) for m, u in zip(masses, units, strict=True)]
    one, other = (float(state.handed.mass_g[u]) for u in units)
    now = (other + bobbins[0], one + bobbins[1])
    said = [
        f"{names[u]} is pulled with {now[i]:.0f} g instead of {masses[i]:.0f} g "
        f"({now[i] / masses[i] - 1:+.0%})"
        for i, u in enumerate(units)
    ]
    return LiveWith(says=" and ".join(said) + "; cloth and take-up of both differ by that")

"""What lies where after some steps of a plan?"""

from __future__ import annotations

from collections.abc import Iterable

from crossfell.order.batten import Batten, Row
from crossfell.plan.model import Step


def follow(batten: Batten, step: Step) -> None:
    """Do with strips or bobbins what a step says. Errors: CannotLie."""
    if not move(batten.row(behind=step.kind.startswith("clear")), step) and step.kind != "check":
        batten.rest()


def follow_all(batten: Batten, steps: Iterable[Step]) -> Batten:
    """The same batten after some steps. Errors: CannotLie."""
    for step in steps:
        follow(batten, step)
    return batten


def move(row: Row, step: Step) -> bool:
    """Do with a row what a step says; whether it moves any unit. Errors: CannotLie."""
    kind = step.kind
    if kind in {"lift", "clear-lift"}:
        row.lift(step.units, below=step.below)
    elif kind in {"lay", "clear"}:
        row.lay(step.units, step.to_places, step.off_mm)
    elif kind in {"shift", "clear-shift"}:
        row.slide(step.units, step.to_places, step.off_mm)
    elif kind in {"turn", "clear-turn"}:
        row.turn(step.units, step.half_turns)
    else:
        return False
    return True

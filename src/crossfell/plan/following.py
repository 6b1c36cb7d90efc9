"""What lies where after some steps of a plan?"""

from __future__ import annotations

from collections.abc import Iterable

from crossfell.order.batten import Batten, Crossing, Row
from crossfell.plan.model import Action, Step

_FRONT = (Action.LIFT, Action.SHIFT, Action.LAY)
_BACK = (Action.CLEAR_LIFT, Action.CLEAR_SHIFT, Action.CLEAR)


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
    if kind in {"carry", "clear-carry", "roll", "clear-roll"}:
        pass_through(row, step)
    elif kind in {"cross", "clear-cross"}:
        for part in in_parts(step):
            move(row, part)
    elif kind in {"lift", "clear-lift"}:
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


def pass_through(row: Row, step: Step) -> list[Crossing]:
    """Carry or roll units of a row: the crossings that it makes. Errors: CannotLie."""
    if step.legs:
        passed = [(leg.over, leg.right, unit) for leg in step.legs for unit in leg.passed]
        made = row.carry(step.units, passed)
    else:
        made = row.roll(step.units, step.half_turns)
    units = (*step.units, *(along.unit for along in step.along))
    places = (*step.to_places, *(along.end for along in step.along))
    off_mm = (*(step.off_mm or (0.0,) * len(step.units)), *(along.off_mm for along in step.along))
    row.stand(units, places, off_mm)
    return made


def in_parts(step: Step) -> tuple[Step, ...]:
    """Taking and laying in one go, as the three things that it is: take, make room, lay."""
    front = step.kind is Action.CROSS
    if not front and step.kind is not Action.CLEAR_CROSS:
        return (step,)
    lift, shift, lay = _FRONT if front else _BACK
    parts = [step._replace(kind=lift, along=(), to_places=(), over=(), under=(), off_mm=())]
    if step.along:
        units, starts, ends, off_mm = zip(*step.along, strict=True)
        parts.append(
            Step(step.number, shift, step.side, step.span, units=units, from_places=starts,
                 to_places=ends, off_mm=off_mm)
        )  # fmt: skip
    return (*parts, step._replace(kind=lay, along=()))

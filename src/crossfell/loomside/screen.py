"""What stands on the screen at a step, in words, for every kind of screen?"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.loomside.guide import Now
from crossfell.loomside.leading import LedPlan
from crossfell.plan.model import WITH_BOBBINS, Times
from crossfell.plan.phrasebook import voice_of, words_of

SIDES = {
    "front": "IN FRONT OF THE LOOM",
    "back": "BEHIND THE LOOM",
    "bench": "AT THE BENCH",
}


@dataclass(frozen=True, kw_only=True)
class Screen:
    """A step as it is shown."""

    key: str  # of the step; empty when the piece is done
    number: int
    side: str
    behind: bool  # whether places count from behind
    count: str  # "step 17 of 124 · span 1"
    do: str
    cross: str = ""
    lines: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    row: str = ""  # how it must look after, as names from her left
    spoken: str = ""
    caution: str = ""
    left: str = ""
    wait: str = ""
    stop: str = ""
    doubt: str = ""


def screen_of(now: Now, *, other_side: bool = False) -> Screen:
    """The screen of where she is."""
    plan, at = now.plan, now.progress.at
    if now.step is None:
        return Screen(
            key="",
            number=len(plan.steps),
            side="",
            behind=False,
            count=f"all {len(plan.steps)} steps",
            do="THE PIECE IS DONE",
            lines=(plan.piece.draft.about.title,),
            spoken="The piece is done.",
            doubt=now.doubt,
        )
    shown = step_screen(plan, at, other_side=other_side)
    fields = {name: getattr(shown, name) for name in shown.__dataclass_fields__}
    said = {
        "left": _left(now.left, now.own, len(plan.steps) - at),
        "wait": wait_text(now),
        "stop": _stop(now),
        "doubt": now.doubt,
    }
    return Screen(**{**fields, **said})


def step_screen(plan: LedPlan, index: int, *, other_side: bool = False) -> Screen:
    """The screen of any step (index from 0), without what depends on the hour."""
    step = plan.steps[index]
    behind = (step.side == "back") != other_side
    words = words_of(step, voice_of(plan.piece.draft, behind=behind))
    at = f" · span {step.span}" if step.span else f" · band {step.band}" if step.band else ""
    side = SIDES[step.side]
    if other_side:
        side += ", AS SEEN FROM " + ("BEHIND" if behind else "THE FRONT")
    return Screen(
        key=plan.keys[index],
        number=step.number,
        side=side,
        behind=behind,
        count=f"step {step.number} of {len(plan.steps)}{at}",
        do=words.do,
        cross=words.cross,
        lines=words.lines,
        marks=words.marks,
        row=_row(plan, index, behind=behind),
        spoken=words.spoken,
        caution=words.caution,
    )


def _row(plan: LedPlan, index: int, *, behind: bool) -> str:
    """How it lies after the step, from her left; what moved in brackets, a dot for no unit."""
    step = plan.steps[index]
    if not step.units and step.kind != "check":
        return ""
    if step.kind in {"wind", "thread", "hang", "let-off"}:
        return ""
    lying = plan.sights[index + 1].row(behind=step.kind in WITH_BOBBINS)
    names = plan.piece.order.names
    parts = []
    for unit in plan.piece.draft.at_loom(behind=behind).row(lying.now):
        if unit is None:
            parts.append("·")
            continue
        name = names[unit] + ("" if lying.faces[unit] > 0 else "′")
        parts.append(f"[{name}]" if unit in step.units else name)
    return "after: " + " ".join(parts)


def wait_text(now: Now) -> str:
    """Until when the step must wait; empty when it need not."""
    drying = now.drying
    if drying is None or drying.left_min <= 0:
        return ""
    until = drying.until.local
    return f"WET: not before {until:%H:%M} on {until:%d %b} ({minutes_text(drying.left_min)} to go)"


def minutes_text(minutes: float) -> str:
    """Minutes, or hours and minutes."""
    whole = round(minutes)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{max(whole, 1)} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def _left(times: Times, own: int, steps: int) -> str:
    low, high = minutes_text(times.low), minutes_text(times.high)
    by = f", by your own times for {own} of {steps} steps" if own else ""
    return f"{minutes_text(times.likely)} of work left ({low} to {high}{by})"


def _stop(now: Now) -> str:
    if now.to_stop is None or now.to_stop == now.left:
        return ""
    if now.step is not None and now.step.may_stop:
        return "After this step is a good place to stop."
    return f"Next good place to stop: after {minutes_text(now.to_stop.likely)} of work."

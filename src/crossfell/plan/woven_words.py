"""How is it told what was woven, and what can be done about it?"""

from __future__ import annotations

from crossfell.base.notes import Note
from crossfell.draft.model import Draft
from crossfell.plan.model import WITH_STRIPS, Plan
from crossfell.plan.phrase_words import names_of
from crossfell.plan.phrasebook import teller_of
from crossfell.plan.woven import AsWoven, steps_to_come

MOST_SAID = 6


def woven_text(woven: AsWoven, drawn: Draft, plan: Plan, going_on: Plan, notes: list[Note]) -> str:
    """The whole answer; `going_on` is the plan of `woven.draft`, `notes` what is new about it."""
    lines = [f"{_spans(woven.done)} of {len(drawn.spans)} done."]
    lines += _differing(woven)
    if not woven.as_drawn:
        lines += ["", "Go on:", *_right(woven, drawn, going_on.minutes - plan.minutes, notes)]
        lines += [
            "",
            "  `crossfell woven` with --write writes it into the draft, as woven and so on.",
        ]
        lines += ["", "Or undo:", *_undo(woven, drawn, plan)]
    steps = steps_to_come(going_on, woven.done)
    hours = sum(step.minutes for step in steps) / 60
    first = steps[0].number if steps else len(going_on.steps)
    lines += ["", f"The plan goes on at step {first}: {len(steps)} steps, about {hours:.1f} h."]
    return "\n".join(lines)


def step_list(woven: AsWoven, going_on: Plan) -> str:
    """Every step that is to come, one to a line."""
    tell = teller_of(woven.draft)
    return "\n".join(
        f"{step.number:5}  {step.side:5}  {tell.sentence(step)}"
        for step in steps_to_come(going_on, woven.done)
    )


def _spans(count: int) -> str:
    return f"{count} span{'' if count == 1 else 's'}"


def _differing(woven: AsWoven) -> list[str]:
    if woven.as_drawn:
        return ["All of it is as drawn."]
    lines = []
    for span in woven.differing:
        lines.append(f"Span {span.span} is not as drawn:")
        lines += [f"  {text}" for text in _some(span.says)]
    if woven.places:
        lines.append(f"At band {woven.done + 1}:")
        lines += [f"  {text}" for text in _some(woven.places)]
    else:
        lines.append(f"At band {woven.done + 1} every unit lies and faces as drawn.")
    return lines


def _some(texts: tuple[str, ...]) -> list[str]:
    more = len(texts) - MOST_SAID
    return [*texts[:MOST_SAID], *([f"and {more} more"] if more > 0 else [])]


def _right(woven: AsWoven, drawn: Draft, more_min: float, notes: list[Note]) -> list[str]:
    stays = f"What shows in span {_numbers([d.span for d in woven.differing])} stays."
    right, following = woven.right, woven.done + 1
    if following > len(drawn.spans):
        return [f"  No span is left to change anything. {stays}"]
    if right is None or not right.moves:
        lines = [f"  Nothing needs to change: the rest comes out as drawn. {stays}"]
    else:
        lines = [f"  Make these first in span {following}, then its own moves:"]
        lines += [f"    {move}" for move in right.moves]
        whole = "; the braid of the whole is then as drawn too" if right.exact else ""
        lines.append(f"  Then every unit lies as drawn from band {following + 1} on{whole}.")
        lines.append(f"  It takes about {more_min:.0f} minutes more. {stays}")
        lines += _running_on(drawn, following)
        lines += [f"  Note: {note.says}; {note.known}" for note in notes]
    if right is not None and right.exactly:
        lines.append(f"  Only with these in span {following} is the braid of the whole as drawn:")
        lines.append(f"    {', '.join(right.exactly)}")
    return lines


def _running_on(drawn: Draft, number: int) -> list[str]:
    """A figure that runs on into a span comes before the moves that are written there."""
    span = drawn.spans[number - 1]
    if any(move.where.line < span.where.line for move in span.moves):
        return [
            f"  A figure runs on into span {number}: its moves come after these; --write writes "
            "them out."
        ]
    return []


SAID = WITH_STRIPS - {"lift"} | {"cut-out"}


def _undo(woven: AsWoven, drawn: Draft, plan: Plan) -> list[str]:
    undo, tell = woven.undo, teller_of(drawn)
    if undo is None:
        return []
    redo = sum(plan.span_times[number].likely for number in undo.spans)
    bands = f"band{'' if len(undo.bands) == 1 else 's'} {_numbers(list(undo.bands))}"
    hands = f"{undo.lays} hand{'' if undo.lays == 1 else 's'}"
    lines = [
        f"  Cut out {bands}, and lay {hands} back, last span first:",
        f"  about {undo.minutes:.0f} minutes, and {redo:.0f} to weave it again.",
    ]
    lines += [f"    {tell.sentence(step)}" for step in undo.steps if step.kind in SAID]
    return lines


def _numbers(numbers: list[int]) -> str:
    return names_of([str(number) for number in numbers])

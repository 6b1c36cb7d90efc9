"""What is she told when she says "that is not what I did": both ways, with what they cost?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.loomside.guide import Guide, Now, Plan
from crossfell.loomside.keeping import Kept, NotKept, kept_way
from crossfell.loomside.mistake import (
    MOVING,
    Shown,
    Slip,
    SpanMoves,
    moves_of_span,
    outcome_of,
    slips_that_show,
)
from crossfell.loomside.screen import minutes_text
from crossfell.loomside.wayback import WayBack, way_back
from crossfell.plan.model import Step
from crossfell.record.replace import replace_text


class NotShown(ValueError):  # noqa: N818 - it is a sentence for the maker
    """What she shows cannot lie on this batten; the sentence says why."""


@dataclass(frozen=True, kw_only=True)
class Answer:
    """Where it went wrong, and the two ways on."""

    says: str
    also: tuple[str, ...] = ()  # other slips that would leave the same
    span: int = 0
    slip: Slip | None = None
    back: WayBack | None = None
    keep: Kept | NotKept | None = None


def span_asked(now: Now, span: int | None = None) -> int:
    """The span that she means: the one named, or the last in which strips were moved.

    Errors: NotShown.
    """
    moved = [s.span for s in now.plan.steps[: now.progress.at] if s.kind in MOVING and s.span]
    if not moved:
        raise NotShown("no strip was moved yet")
    if span is not None and span not in moved:
        raise NotShown(f"no strip was moved in span {span} yet")
    return span or moved[-1]


def as_it_lies(now: Now, span: int) -> tuple[SpanMoves, Shown]:
    """How the strips of a span should lie, after what is done of it."""
    moves = moves_of_span(now.plan, span, now.progress.at)
    meant = outcome_of(moves, moves.moves)
    if meant is None:
        raise AssertionError("the plan was rehearsed")
    return moves, Shown(row=meant.row, faces=meant.faces)


def crossings_of(moves: SpanMoves) -> tuple[tuple[int, int], ...]:
    """Pairs that cross as planned in what is done of a span: a unit, and one that it lies over."""
    meant = outcome_of(moves, moves.moves)
    return () if meant is None else tuple(sorted(pair for pair, _ in meant.over))


def shown_from_words(plan: Plan, row: Sequence[str], other_way: Sequence[tuple[str, str]]) -> Shown:
    """What she shows, written: names from the left, ′ or ' for a back, "-" for an empty place.

    Errors: NotShown.
    """
    names, count = plan.piece.order.names, plan.piece.draft.place_count
    if len(row) != count:
        raise NotShown(f"the batten has {count} places; {len(row)} are shown")
    index = {name: unit for unit, name in enumerate(names)}
    faces, lying = [1] * len(names), list[int | None]()
    for word in row:
        name = word.rstrip("'′")
        if word in {"-", "·"}:
            lying.append(None)
            continue
        if name not in index or index[name] in lying:
            raise NotShown(f"{word} is no unit of this piece, or is shown twice")
        lying.append(index[name])
        faces[index[name]] = 1 if name == word else -1
    unknown = [name for pair in other_way for name in pair if name not in index]
    if unknown:
        raise NotShown(f"there is no unit {unknown[0]}")
    pairs = frozenset(frozenset((index[a], index[b])) for a, b in other_way)
    return Shown(row=tuple(lying), faces=tuple(faces), other_way=pairs)


def answer(now: Now, span: int, shown: Shown) -> Answer:
    """Where it went wrong in a span, and the ways on."""
    moves, meant = as_it_lies(now, span)
    if shown == meant:
        return Answer(says=f"Span {span} lies as planned.", span=span)
    slips = slips_that_show(now.plan, moves, shown)
    if not slips:
        return _unexplained(now, moves, meant, shown)
    slip = slips[0]
    return Answer(
        says=f"It went wrong here: {slip.says}.",
        also=tuple(other.says for other in slips[1:4]),
        span=span,
        slip=slip,
        back=way_back(now.plan, moves, slip, now.progress.at),
        keep=kept_way(now.plan, moves, slip, _next_span(now)),
    )


def _next_span(now: Now) -> int:
    """The first span in which no strip was moved yet."""
    moved = [s.span for s in now.plan.steps[: now.progress.at] if s.kind in MOVING and s.span]
    return max(moved, default=0) + 1


def _unexplained(now: Now, moves: SpanMoves, meant: Shown, shown: Shown) -> Answer:
    """More than one slip: the first step that moved what lies otherwise, and all from there."""
    names = now.plan.piece.order.names
    off = {u for a, b in zip(meant.row, shown.row, strict=True) if a != b for u in (a, b)} - {None}
    off |= {u for u, face in enumerate(shown.faces) if face != meant.faces[u]}
    off |= {u for pair in shown.other_way for u in pair}
    wrong = [i for i, s in enumerate(moves.moves) if off & set(s.units) and s.kind != "lift"]
    who = ", ".join(names[u] for u in sorted(u for u in off if u is not None))
    if not wrong:
        return Answer(
            says=f"{who} lie otherwise than planned, but nothing moved them in span {moves.span}: "
            "look at the spans before it.",
            span=moves.span,
        )
    step: Step = moves.moves[wrong[0]]
    return Answer(
        says=f"More than one thing is otherwise ({who}); the first can be step {step.number}: "
        f"{step.text} Take back what was laid since then, the last first, and lay it again.",
        span=moves.span,
    )


def adopt(guide: Guide, found: Answer) -> None:
    """Keep it: the draft is written as woven, and the record says so. Errors: NotSaved, OSError.

    The text that stood before is in the record, whole.
    """
    kept = found.keep
    if not isinstance(kept, Kept) or found.slip is None:
        raise NotShown("there is nothing to keep")
    before = guide.now()
    index = min(before.progress.at, len(before.plan.steps) - 1)
    says = {"text": found.slip.says, "span": found.span}
    guide.tell([guide.event("woven", index=index, says=says)])
    replace_text(guide.file, kept.text)
    after = guide.now()
    done = {mark.key for mark in after.progress.done}
    here = before.step
    for i, step in enumerate(after.plan.steps):
        if here is not None and _is_here(step, here):
            break
        if step.span == found.span and after.plan.keys[i] not in done:
            guide.tell([guide.event("tick", index=i, says={"as_woven": True})])


def _is_here(step: Step, here: Step) -> bool:
    """Whether a step of the new plan is where she was in the old one."""
    return (step.kind, step.span, step.band) == (here.kind, here.span, here.band)


def answer_text(found: Answer) -> str:
    """The answer for reading."""
    parts = [found.says]
    parts += [f"  or: {other}" for other in found.also]
    if found.back is not None:
        cost = f"{minutes_text(found.back.minutes)}, {found.back.strips} strips in the hand"
        bands = f", {len(found.back.bands)} bands cut out" if found.back.bands else ""
        parts += ["", f"The way back ({cost}{bands}):"]
        parts += [f"  {i}. {line}" for i, line in enumerate(found.back.lines, 1)]
    if isinstance(found.keep, Kept):
        parts += ["", f"Or keep it ({_more(found.keep.minutes)}):"]
        if found.keep.moves:
            parts.append(f"  span {found.keep.next_span} then begins with")
            parts += [f"    {move}" for move in found.keep.moves]
        else:
            parts.append("  nothing to come changes; the crossing stays as it lies")
    elif found.keep is not None:
        parts += ["", f"It cannot be kept as it is: {found.keep.says}."]
    return "\n".join(parts)


def _more(minutes: float) -> str:
    word = "more" if minutes >= 0 else "less"
    return f"{minutes_text(abs(minutes))} {word} than planned" if round(minutes) else "no more work"

"""What makes a step this step, so that it is known again after the draft was changed?

Not its number: a span put in before it changes that. Its span or band, who moves from where to
where, over and under whom; and, among equals, which of them it is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence

from crossfell.draft.model import Draft
from crossfell.plan.model import Action, Step
from crossfell.plan.phrasebook import teller_of
from crossfell.record.events import StepMark

WAY_BACK = "way back "  # the keys of steps that lead back from a mistake begin so
_BY_LENGTH = frozenset({Action.DRAW, Action.ROD})  # what they do is a length


def keys_of(steps: Sequence[Step], names: Sequence[str]) -> tuple[str, ...]:
    """A key for each step of a plan, no two alike; `names` are those of the units."""
    seen: Counter[str] = Counter()
    keys = []
    for step in steps:
        bare = _bare(step, names)
        seen[bare] += 1
        keys.append(bare if seen[bare] == 1 else f"{bare} #{seen[bare]}")
    return tuple(keys)


def mark_of(draft: Draft, steps: Sequence[Step], keys: Sequence[str], index: int) -> StepMark:
    """The mark of a step (index from 0) for the record."""
    step = steps[index]
    return StepMark(
        key=keys[index],
        number=step.number,
        kind=step.kind.value,
        span=step.span,
        band=step.band,
        side=step.side,
        text=teller_of(draft).sentence(step),
        count=step.count,
        minutes=step.minutes,
        not_before_min=step.not_before_min,
        nth=sum(_alike(other) == _alike(step) for other in steps[: index + 1]),
    )


def indices_of(
    marks: Sequence[StepMark], steps: Sequence[Step], keys: Sequence[str]
) -> list[int | None]:
    """Where marks stand in a plan; None where it has no such step.

    Keys of marks without `nth` held the sentence where a length was meant: such a mark is known by
    action, span, band and the how-manieth of these it is.
    """
    by_key = {key: i for i, key in enumerate(keys)}
    kinds: dict[Hashable, list[int]] = {}
    for i, step in enumerate(steps):
        if step.kind in _BY_LENGTH:
            kinds.setdefault((is_way_back(keys[i]), *_alike(step)), []).append(i)
    found: list[int | None] = []
    for mark in marks:
        index = by_key.get(mark.key)
        if mark.kind in _BY_LENGTH and not mark.nth:
            alike = kinds.get((is_way_back(mark.key), mark.kind, mark.span, mark.band), [])
            index = alike.pop(0) if alike else None
        found.append(index)
    return found


def _alike(step: Step) -> tuple[Hashable, ...]:
    return step.kind, step.span, step.band


def is_way_back(key: str) -> bool:
    """Whether it is the key of a step that leads back from a mistake."""
    return key.startswith(WAY_BACK)


def _bare(step: Step, names: Sequence[str]) -> str:
    parts = [step.kind.value]
    if step.span:
        parts.append(f"span {step.span}")
    if step.band:
        parts.append(f"band {step.band}")
    if step.kind is Action.DRAW:
        parts.append(f"{step.length_mm:.0f} mm")
    if step.kind is Action.ROD:
        parts.append(step.rod)
    if step.units and step.kind is not Action.LET_OFF:
        parts.append(" ".join(_moved(step, names)))
    for word, units in (("over", step.over), ("under", step.under)):
        if units:
            parts.append(f"{word} {' '.join(sorted(names[u] for u in units))}")
    if step.below:
        parts.append("below")
    if step.half_turns:
        parts.append(f"turns {step.half_turns}")
    if step.sheds:
        parts.append(" ".join(step.sheds))
    if step.windows:
        parts.append(" ".join(f"{low}-{high}" for low, high in step.windows))
    return ", ".join(parts)


def _moved(step: Step, names: Sequence[str]) -> list[str]:
    out = []
    for i, unit in enumerate(step.units):
        start = str(step.from_places[i]) if i < len(step.from_places) else ""
        end = str(step.to_places[i]) if i < len(step.to_places) else ""
        way = f"({start}>{end})" if start or end else ""
        out.append(names[unit] + way)
    return out

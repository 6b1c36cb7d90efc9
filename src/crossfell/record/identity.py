"""What makes a step this step, so that it is known again after the draft was changed?

Not its number: a span put in before it changes that. Its span or band, who moves from where to
where, over and under whom; and, among equals, which of them it is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from crossfell.plan.model import Step
from crossfell.record.events import StepMark

WAY_BACK = "way back "  # the keys of steps that lead back from a mistake begin so
_BY_TEXT = frozenset({"draw", "rod"})  # what they do is a length, and stands in their sentence


def keys_of(steps: Sequence[Step], names: Sequence[str]) -> tuple[str, ...]:
    """A key for each step of a plan, no two alike; `names` are those of the units."""
    seen: Counter[str] = Counter()
    keys = []
    for step in steps:
        bare = _bare(step, names)
        seen[bare] += 1
        keys.append(bare if seen[bare] == 1 else f"{bare} #{seen[bare]}")
    return tuple(keys)


def mark_of(step: Step, key: str) -> StepMark:
    """The mark of a step for the record."""
    return StepMark(
        key=key,
        number=step.number,
        kind=step.kind,
        span=step.span,
        band=step.band,
        side=step.side,
        text=step.text,
        count=step.count,
        minutes=step.minutes,
        not_before_min=step.not_before_min,
    )


def _bare(step: Step, names: Sequence[str]) -> str:
    parts = [step.kind]
    if step.span:
        parts.append(f"span {step.span}")
    if step.band:
        parts.append(f"band {step.band}")
    if step.kind in _BY_TEXT:
        parts.append(step.text)
    if step.units:
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

"""How is a piece made again: from the draft as it was last worked from, and what the record knows?

The new draft is the old text with the next number, and a head of remarks: hours, lots, amounts,
weights, what was changed on the way. The remarks are data for the maker and change nothing.
"""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Mapping, Sequence

from crossfell.draft.edit import NotEditable, set_key, unset_key
from crossfell.draft.model import Draft
from crossfell.record.events import Event
from crossfell.record.hours import by_kind, hours_of
from crossfell.record.telling import noted_text

MOST_CHANGES = 40  # lines of what was changed


class NothingToRepeat(Exception):  # noqa: N818 - it is a sentence for the maker
    """There is no record from which the piece could be made again."""


def next_number(number: str) -> str:
    """The number of the next edition: "3" after "2", "2/8" after "1/8"; "2" after none."""
    found = re.search(r"\d+", number)
    if found is None:
        return f"{number} 2".strip()
    return number[: found.start()] + str(int(found.group()) + 1) + number[found.end() :]


def edition_of(
    draft: Draft, events: Sequence[Event], drafts: Mapping[str, tuple[str, str]]
) -> tuple[str, str]:
    """The text of the next edition, and its number. Errors: NothingToRepeat.

    `draft` is the draft as it stands; the text is that of the last tick.
    """
    worked = [event.draft for event in events if event.kind == "tick" and event.draft in drafts]
    if not worked:
        raise NothingToRepeat("nothing was ticked yet: copy the draft instead")
    first, last = drafts[worked[0]][0], drafts[worked[-1]][0]
    number = next_number(draft.about.number)
    try:
        text = _of_its_own(set_key(last, "piece.number", number))
    except NotEditable as problem:
        raise NothingToRepeat(f"the number cannot be written: {problem}") from problem
    head = [
        f"# {draft.about.title}, edition {number}, from the record of the one before.",
        *_hours(events),
        *_noted(events),
        *_changed(first, last),
    ]
    return "\n".join([*head, "", text]), number


def _of_its_own(text: str) -> str:
    """Without what was agreed for the first edition alone: its promise, price and payment."""
    for name in ("promised", "agreed", "paid"):
        if name in tomllib.loads(text).get("piece", {}):
            text = unset_key(text, f"piece.{name}")
    return text


def _hours(events: Sequence[Event]) -> list[str]:
    rows = hours_of(events)
    minutes = sum(row.minutes for row in rows)
    planned = sum(row.step.minutes for row in rows if not row.undone)
    unsure = sum(not row.measured for row in rows)
    lines = [f"# Hours: {minutes / 60:.1f} of work measured; planned {planned / 60:.1f}."]
    if unsure:
        lines.append(f"#   {unsure} of {len(rows)} ticks are not measured: there was a pause.")
    lines += [
        f"#   {kind.kind}: {kind.real_min:.0f} min, planned {kind.planned_min:.0f}"
        for kind in by_kind(rows)
        if kind.measured and abs(kind.real_min - kind.planned_min) > 0.25 * kind.planned_min
    ]
    return lines


def _noted(events: Sequence[Event]) -> list[str]:
    kinds = ("used", "lot", "weight", "woven", "join", "broken-end", "note")
    found = [event for kind in kinds for event in events if event.kind == kind]
    lines = [f"#   {_one_line(noted_text(event))}{_where(event)}" for event in found]
    return ["# Noted the last time:", *lines] if lines else []


def _where(event: Event) -> str:
    step = event.step
    if step is None or not (step.span or step.band):
        return ""
    return f" (span {step.span})" if step.span else f" (band {step.band})"


def _changed(first: str, last: str) -> list[str]:
    """Lines that were changed between the first and the last text that was worked from."""
    diff = difflib.unified_diff(first.splitlines(), last.splitlines(), lineterm="", n=0)
    lines = [line for line in diff if line[:1] in "+-" and line[:3] not in {"+++", "---"}]
    if not lines:
        return []
    more = (
        [f"#   … and {len(lines) - MOST_CHANGES} lines more"] if len(lines) > MOST_CHANGES else []
    )
    shown = [f"#   {_one_line(line)}" for line in lines[:MOST_CHANGES]]
    return ["# Changed while it was made (- before, + after):", *shown, *more]


def _one_line(text: str) -> str:
    """Safe within a remark: TOML allows no control signs there."""
    return re.sub(r"[\x00-\x1f\x7f]", " ", text)

"""What can happen at the loom that is worth remembering?

The record is a list of events, never changed, only added to. Every event has an id that was made
where it happened: one that arrives twice is kept once.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from types import MappingProxyType
from typing import Any

from crossfell.record.clock import Stamp

# What each kind needs to say, beside its step.
KINDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "start": (),  # a screen was opened, or work goes on after a pause
        "pause": (),
        "tick": (),  # a step is done
        "back": (),  # the last step ticked is not done after all
        "note": ("text",),
        "photo": ("path",),
        "lot": ("yarn", "lot"),
        "join": ("unit",),
        "broken-end": ("unit",),
        "weight": ("unit", "mass_g"),
        "drying": ("minutes",),  # the band dries this long from now, whatever the draft says
        "woven": ("text",),  # what was really done where it is not what was drafted
        "mistake": ("text",),  # the way back from it is to be walked; or `drop`: it is not
        "used": ("yarn", "mass_g"),  # weighed when it was done
        "edition": ("number",),
    }
)
NEEDS_STEP = frozenset({"tick", "back"})
LONGEST_TEXT = 4000


class NotAnEvent(ValueError):  # noqa: N818 - it is a sentence for who sent it
    """What was sent cannot be an event of the record."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepMark:
    """A step as it stood in the plan when something happened at it."""

    key: str  # what makes it this step, whatever else the draft changes: see identity.py
    number: int
    kind: str
    span: int | None
    band: int | None
    side: str
    text: str
    count: int
    minutes: float  # planned
    not_before_min: float = 0.0
    nth: int = 0  # of its action in its span and band, from 1; 0 in old records


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One thing that happened."""

    kind: str
    at: Stamp
    id: str = field(default_factory=lambda: uuid.uuid4().hex)
    device: str = ""  # which screen it came from
    draft: str = ""  # hash of the draft that stood then
    step: StepMark | None = None
    says: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        needed = KINDS.get(self.kind)
        if needed is None:
            raise NotAnEvent(f"there is no event of kind {self.kind!r}")
        missing = [name for name in needed if self.says.get(name) in {None, ""}]
        if missing:
            raise NotAnEvent(f"{self.kind} needs {', '.join(missing)}")
        if self.kind in NEEDS_STEP and self.step is None:
            raise NotAnEvent(f"{self.kind} needs a step")
        if not 8 <= len(self.id) <= 64:
            raise NotAnEvent("the id of an event has 8 to 64 letters")
        if any(isinstance(v, str) and len(v) > LONGEST_TEXT for v in self.says.values()):
            raise NotAnEvent(f"no text of an event is longer than {LONGEST_TEXT} letters")


def event_as_table(event: Event) -> dict[str, Any]:
    """An event as plain values, as it is exported."""
    return {
        "id": event.id,
        "kind": event.kind,
        "at": event.at.text,
        "stamp": asdict(event.at),
        "device": event.device,
        "draft": event.draft,
        "step": None if event.step is None else asdict(event.step),
        "says": dict(event.says),
    }


def event_from_table(table: Mapping[str, Any]) -> Event:
    """Read an exported event again. Errors: NotAnEvent."""
    try:
        step = table.get("step")
        return Event(
            id=str(table["id"]),
            kind=str(table["kind"]),
            at=Stamp(**table["stamp"]),
            device=str(table.get("device", "")),
            draft=str(table.get("draft", "")),
            step=None if step is None else StepMark(**step),
            says=MappingProxyType(dict(table.get("says", {}))),
        )
    except (KeyError, TypeError) as problem:
        raise NotAnEvent(f"an event of the file cannot be read: {problem}") from problem

"""What does a screen send, and how does it become events of the record?

A screen says for each event how long ago it was, by its own clocks: where a tablet's clock is
wrong, the record is not. What it sends is checked here and nowhere else.
"""

from __future__ import annotations

import math
import re
import uuid
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from crossfell.loomside.guide import Guide
from crossfell.record.clock import Stamp
from crossfell.record.events import NEEDS_STEP, Event, NotAnEvent

MOST_EVENTS = 2000  # in one message
_MOST_AGE_MS = 366 * 24 * 3_600_000
_ID = re.compile(r"[0-9a-zA-Z_-]{8,64}")
_FROM_SCREENS = frozenset(
    {"start", "pause", "tick", "back", "note", "drying", "lot", "join", "broken-end", "weight"}
)


def events_sent(guide: Guide, message: Any) -> tuple[tuple[Event, ...], dict[str, str]]:
    """Events of a message {device, events: [{id, kind, key, draft, age_ms, says}]}.

    Beside them, why others of it are none, by id: one bad event does not hold up those after it.
    Errors: NotAnEvent, in a sentence, when the message itself makes no sense.
    """
    if not isinstance(message, dict) or not isinstance(message.get("events"), list):
        raise NotAnEvent("a message has a list of events")
    rows: Sequence[Any] = message["events"]
    if len(rows) > MOST_EVENTS:
        raise NotAnEvent(f"a message has at most {MOST_EVENTS} events")
    now = guide.clock()
    device = str(message.get("device", ""))[:64]
    events: list[Event] = []
    refused: dict[str, str] = {}
    for row in rows:
        try:
            events.append(_event(guide, row, device, now))
        except NotAnEvent as problem:
            name = row.get("id") if isinstance(row, dict) else None
            refused[str(name)[:64]] = str(problem)
    return tuple(events), refused


def _event(guide: Guide, row: Any, device: str, now: Stamp) -> Event:
    if not isinstance(row, dict):
        raise NotAnEvent("an event is a table")
    name, kind = str(row.get("id", "")), str(row.get("kind", ""))
    if not _ID.fullmatch(name):
        raise NotAnEvent("an event has an id of 8 to 64 letters and numbers")
    if kind not in _FROM_SCREENS:
        raise NotAnEvent(f"a screen cannot tell of {kind!r}")
    step = None
    draft = str(row.get("draft", ""))
    if row.get("key"):
        plan = guide.plan_of(draft)
        index = None if plan is None else plan.index_of(str(row["key"]))
        if plan is not None and index is not None:
            step = plan.mark(index)
    if kind in NEEDS_STEP and step is None:
        raise NotAnEvent("this step is in no plan that was worked from here")
    return Event(
        id=name,
        kind=kind,
        at=_stamp(row.get("age_ms", 0), now),
        device=device,
        draft=draft.partition("-")[0],  # the text, whatever ways back were in the plan
        step=step,
        says=_says(row.get("says", {})),
    )


def _says(said: Any) -> Mapping[str, object]:
    if not isinstance(said, dict) or len(said) > 8:
        raise NotAnEvent("what an event says is a small table")
    if not all(_is_plain(value) for value in said.values()):
        raise NotAnEvent("what an event says are words and numbers")
    return MappingProxyType({_whole(str(name)[:40]): _whole(v) for name, v in said.items()})


def _whole(value: Any) -> Any:
    """Text without halves of letters, which no file can hold."""
    return value.encode("utf-8", "replace").decode() if isinstance(value, str) else value


def _is_plain(value: object) -> bool:
    return isinstance(value, (str, int, bool)) or (
        isinstance(value, float) and math.isfinite(value)
    )


def _stamp(age: Any, now: Stamp) -> Stamp:
    if isinstance(age, bool) or not isinstance(age, (int, float)) or math.isnan(age):
        raise NotAnEvent("an event says how long ago it was, in milliseconds")
    age_ms = round(min(max(age, 0), _MOST_AGE_MS))
    if age_ms <= now.run_ms:
        return now.earlier(age_ms)
    # This machine did not run then: only the clock on the wall tells.
    boot = uuid.uuid4().hex
    return Stamp(utc_ms=now.utc_ms - age_ms, offset_min=now.offset_min, boot=boot, run_ms=0)

"""How does a whole record leave the program, and come back, on another machine or in ten years?

As JSON: every event, every text of the draft that was worked from. Coming back, events that are
there already are not doubled.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from crossfell.record.clock import Stamp
from crossfell.record.events import Event, NotAnEvent, event_as_table, event_from_table
from crossfell.record.opening import RecordRefused
from crossfell.record.store import Record

FORMAT = "crossfell record"
NUMBER = 1


def exported(events: tuple[Event, ...], drafts: Mapping[str, tuple[str, str]]) -> str:
    """The whole record as JSON, the same bytes for the same record."""
    table = {
        "format": FORMAT,
        "number": NUMBER,
        "drafts": {name: {"draft": d, "workshop": w} for name, (d, w) in drafts.items()},
        "events": [event_as_table(event) for event in events],
    }
    return json.dumps(table, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def import_into(record: Record, text: str, now: Stamp) -> tuple[int, int]:
    """Add an exported record; how many events were new, and how many there already.

    All or nothing. Errors: RecordRefused when the text is no export of ours or a newer one,
    NotSaved.
    """
    table = _table(text)
    try:
        events = [event_from_table(event) for event in table["events"]]
        drafts = {
            str(name): (str(t["draft"]), str(t["workshop"])) for name, t in table["drafts"].items()
        }
    except (NotAnEvent, KeyError, TypeError, AttributeError) as problem:
        raise RecordRefused(f"this export cannot be read: {problem}") from problem
    new = record.add(events, drafts, seen_ms=now.utc_ms)
    return sum(new), len(new) - sum(new)


def read_export(path: Path) -> str:
    """The text of an export. Errors: RecordRefused."""
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as problem:
        raise RecordRefused(f"{path} could not be read: {problem}") from problem


def _table(text: str) -> dict[str, Any]:
    try:
        table = json.loads(text)
    except ValueError as problem:
        raise RecordRefused(f"this is not an export of a record: {problem}") from problem
    if not isinstance(table, dict) or table.get("format") != FORMAT:
        raise RecordRefused("this is not an export of a record")
    number = table.get("number")
    if not isinstance(number, int) or number > NUMBER:
        raise RecordRefused(
            f"this export was written by a newer Crossfell (number {number}, this program knows "
            f"{NUMBER}); nothing was taken in"
        )
    return table

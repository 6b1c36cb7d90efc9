"""How is a change of the workshop kept so that there is a way back?

Beside workshop.toml lies stock.journal: a line of JSON for each change, with the text before. The
way back is taken only from the very text that the change left; what was edited since stays.
"""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

JOURNAL = "stock.journal"


class NoWayBack(ValueError):  # noqa: N818 - it is a sentence for the maker
    """The last change cannot be taken back; the sentence says why."""


def journal_of(workshop: Path) -> Path:
    """Where the journal of a workshop lies."""
    return workshop.with_name(JOURNAL)


def with_entry(journal: str, *, at: str, what: str, before: str, after: str) -> str:
    """The journal with one change more."""
    entry = {"at": at, "what": what, "before": before, "after": _print(after)}
    return f"{journal}{json.dumps(entry, ensure_ascii=False)}\n"


def taken_back(journal: str, now: str) -> tuple[str, str, str]:
    """The journal without its last change, the workshop before it, and what it was.

    A change that was noted but never written is passed over. Errors: NoWayBack.
    """
    lines = journal.splitlines(keepends=True)
    while lines:
        entry = _read(lines.pop())
        if entry["after"] == _print(now):
            return "".join(lines), entry["before"], f"{entry['what']}, {entry['at']}"
        if entry["before"] != now:
            raise NoWayBack(
                f"workshop.toml was edited since the last change ({entry['what']}, {entry['at']}): "
                "it was left as it is"
            )
    raise NoWayBack("no change of the stock is kept that could be taken back")


def _read(line: str) -> dict[str, Any]:
    try:
        entry = json.loads(line)
        return {key: str(entry[key]) for key in ("at", "what", "before", "after")}
    except (ValueError, KeyError, TypeError) as problem:
        raise NoWayBack(f"the last line of {JOURNAL} cannot be read: {problem}") from problem


def _print(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()

"""How is the draft written as it was woven, with a way back?

The record keeps both texts whole, and which took the place of which.
"""

from __future__ import annotations

from difflib import unified_diff
from pathlib import Path

from crossfell.draft.edit import NotEditable
from crossfell.draft.files import read_file
from crossfell.draft.model import Draft
from crossfell.piece import Piece
from crossfell.plan.woven_written import written_as_woven
from crossfell.record.clock import Clock, system_clock
from crossfell.record.events import Event
from crossfell.record.replace import replace_text
from crossfell.record.store import Record, draft_hash, record_path

SAYS = "the draft is written as woven"
SAYS_BACK = "the text of the draft from before is back"


def text_as_woven(piece: Piece) -> str:
    """The draft as woven so far, then what puts it right. Errors: NotEditable."""
    woven = piece.as_woven
    if woven is None:
        raise NotEditable("nothing is said to be woven")
    text = written_as_woven(piece.draft, woven)
    if text == piece.draft.text:
        raise NotEditable("all of it is as drawn already: there is nothing to write")
    return text


def text_before(file: Path) -> str:
    """The text that the present one took the place of. Errors: NotEditable, OSError."""
    here = read_file(file).text
    if record_path(file).exists():
        with Record(record_path(file)) as record:
            texts, events = record.drafts(), record.events()
        for event in reversed(events):
            before, after = (texts.get(str(event.says.get(key, ""))) for key in ("before", "after"))
            if event.kind == "woven" and before and after and after[0] == here:
                return before[0]
    raise NotEditable(
        "there is no way back from this text: it is not as `crossfell woven --write` left it"
    )


def change_of(before: str, after: str) -> str:
    """What changes, line by line: - goes, + comes."""
    lines = unified_diff(before.splitlines(), after.splitlines(), lineterm="", n=1)
    shown = [line for line in lines if not line.startswith(("---", "+++"))]
    return "\n".join("…" if line.startswith("@@") else line for line in shown)


def write_text(file: Path, text: str, *, says: str = SAYS, clock: Clock = system_clock) -> None:
    """Write a text in place of the draft, both kept in the record first.

    Errors: NotSaved, RecordRefused, OSError; then the draft is as it was.
    """
    old = read_file(file)
    new = Draft(text=text, file=old.file, workshop_text=old.workshop_text)
    before, after = draft_hash(old), draft_hash(new)
    drafts = {name: (each.text, each.workshop_text) for name, each in ((before, old), (after, new))}
    at = clock()
    event = Event(
        kind="woven", at=at, draft=after, says={"text": says, "before": before, "after": after}
    )
    with Record(record_path(file)) as record:
        record.add((event,), drafts, seen_ms=at.utc_ms)
        replace_text(file, text)

"""Which findings have a remedy that one click can apply?

A remedy is an edit (see `edits`) with the words of its button. Where there are several ways out,
or none that a machine should choose, there is no remedy, only the sentence.
"""

from __future__ import annotations

from typing import Any

from crossfell.base.notes import Note
from crossfell.draft.model import Draft


def remedy_of(note: Note, draft: Draft) -> dict[str, Any] | None:
    """The remedy of a finding of this draft's own text, or None."""
    where = note.where
    if where.file and where.file == draft.workshop_file:
        return None
    facts = note.facts
    if note.code == "leans-too-far":
        height = str(facts["height"])
        edit = {"do": "height", "span": facts["span"], "height": height}
        return {"says": f"Make span {facts['span']} {height} high", "edit": edit}
    if not where.line or not where.length:
        return None
    new = _words(note)
    if new is None:
        return None
    place = {"line": where.line, "column": where.column, "length": where.length}
    return {"says": f"Write {new}", "edit": {"do": "replace", **place, "text": new}}


def _words(note: Note) -> str | None:
    """What to write at the place that the note points at."""
    facts = note.facts
    if note.code == "block-runs-backwards":
        return f"{facts['last']}-{facts['first']}"
    if note.code == "not-neighbours":
        return f"{facts['first']} {facts['word']} {facts['wanted']}"
    if note.code == "number-of-places":
        return str(facts["places"])
    return str(facts.get("right") or "") or None  # a name that is near

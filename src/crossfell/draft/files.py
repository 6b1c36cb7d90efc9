"""Where does a draft lie, and where the workshop behind it?"""

from __future__ import annotations

from pathlib import Path

from crossfell.base.notes import Note, Where, error
from crossfell.draft.model import Draft
from crossfell.draft.reader import MOST_LETTERS, read_draft

WORKSHOP = "workshop.toml"


def read_file(path: Path) -> Draft:
    """Read a draft and the workshop.toml beside it, or in the folder above.

    Errors: OSError when the draft itself cannot be read; anything else becomes notes.
    """
    text, note = _text_of(path)
    if note:
        return Draft(file=str(path), notes=(note,))
    for folder in (path.parent, path.parent.parent):
        workshop = folder / WORKSHOP
        if workshop.is_file() and workshop.resolve() != path.resolve():
            behind, note = _text_of(workshop)
            if note:
                return Draft(text=text, file=str(path), notes=(note,))
            return read_draft(text, file=str(path), workshop=behind, workshop_file=str(workshop))
    return read_draft(text, file=str(path))


def _text_of(path: Path) -> tuple[str, Note | None]:
    size = path.stat().st_size
    if size > 4 * MOST_LETTERS:
        note = error("too-large", Where(str(path)), letters=size, most=MOST_LETTERS)
        return "", note
    raw = path.read_bytes()
    try:
        return raw.decode("utf-8"), None
    except UnicodeDecodeError as problem:
        line = raw.count(b"\n", 0, problem.start) + 1
        column = problem.start - raw.rfind(b"\n", 0, problem.start)
        return "", error("not-utf8", Where(str(path), line, column, 1), byte=raw[problem.start])

"""Where does a draft lie, and where the workshop behind it?"""

from __future__ import annotations

from pathlib import Path

from crossfell.base.notes import Note, Where, error
from crossfell.draft.model import Draft
from crossfell.draft.reader import MOST_LETTERS, read_draft

WORKSHOP = "workshop.toml"


def workshops_of(path: Path) -> tuple[Path, Path]:
    """Where the workshop of a draft may lie: beside it, or in the folder above.

    The folder above a path with no name of its own (`tideline.toml`, `../tideline.toml`) is `..`.
    """
    beside = path.parent
    above = beside / ".." if beside.name in {"", ".."} else beside.parent
    return beside / WORKSHOP, above / WORKSHOP


def read_file(path: Path) -> Draft:
    """Read a draft and the workshop.toml beside it, or in the folder above.

    Errors: OSError when the draft itself cannot be read; anything else becomes notes.
    """
    text, note = _text_of(path)
    if note:
        return Draft(text=text, file=str(path), notes=(note,))
    for workshop in workshops_of(path):
        if workshop.is_file() and workshop.resolve() != path.resolve():
            behind, note = _text_of(workshop)
            if note:
                return Draft(text=text, file=str(path), notes=(note,), workshop_text=behind,
                             workshop_file=str(workshop))  # fmt: skip
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
        before = raw[raw.rfind(b"\n", 0, problem.start) + 1 : problem.start]
        where = Where(str(path), line, len(before.decode("utf-8")) + 1, 1)
        shown = raw.decode("utf-8", errors="replace")
        return shown, error("not-utf8", where, says=_coding(raw, raw[problem.start]))


def _coding(raw: bytes, byte: int) -> str:
    """What the coding of a text probably is, from the first byte that is not UTF-8."""
    if raw[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        return "it seems to be UTF-16"
    letter = bytes([byte]).decode("cp1252", errors="replace")
    return f"the sign here is byte {byte}; in Windows-1252 it is `{letter}`"

"""The museum of mistakes: a wrong draft and its exact message for every code.

A specimen `<code>.txt` is the text of a draft, a line `-----`, and the message. `{{50 × text}}` in a
draft stands for that text fifty times over, `{{byte ff}}` for one byte. A specimen of an error shows
every error of its draft; one of a doubt or an advice the first note with its code.

    python tests/errors/museum.py     writes the messages anew, and docs/errors.md; then read the diff
"""

from __future__ import annotations

import os
import re
import tempfile
from pathlib import Path

from crossfell.base.notes import Severity, doubt, rendered
from crossfell.base.prose import PROSE
from crossfell.draft.files import read_file
from crossfell.papers.letters import letter_notes
from crossfell.piece import Piece

FOLDER = Path(__file__).parent
PAGE = FOLDER.parents[1] / "docs" / "errors.md"
LINE = "\n-----\n"
SEVERITIES = {
    "error": "Errors: the piece cannot be made, or not be computed, as written",
    "doubt": "Doubts: it can be made, but you will probably regret it",
    "advice": "Advice: worth knowing",
}
MOST_SHOWN = 5  # of errors that one specimen shows beside its own
# No draft was found whose hung shape does not come to rest: its message is shown with these facts.
BY_HAND = {"not-at-rest": {"residual": "0.02", "steps": 400}}
HEAD = """\
# What messages mean

A message says what is wrong, where, what is known about it, and what would be right:

    error[passes-a-unit]: unit a3 stands in the way of this shift      what is wrong, and its code
      --> draft.toml:22:11                                             file, line, column
       |
    22 | moves  = "shift 2 right 1"                                    the line as you wrote it
       |           ^^^^^^^^^^^^^^^                                     what the message is about
       = unit a3 lies in place 3                                       what is known
       = say which passes in front: `2 over 3` or `2 under 3`          what would be right

`crossfell check FILE` shows all of them, the most serious first. With an error nothing is made;
doubts and advice are yours to judge. Below is one example of each, made from the drafts in
`tests/errors/`; this page is written by `python tests/errors/museum.py`.
"""


def codes():
    """Codes that have a specimen."""
    return sorted(path.stem for path in FOLDER.glob("*.txt"))


def specimen(code):
    """The draft of a specimen, as bytes, and its message."""
    text, _, message = (FOLDER / f"{code}.txt").read_text(encoding="utf-8").partition(LINE)
    return grown(text), message.rstrip("\n")


def grown(text):
    """The bytes that the text of a specimen stands for."""
    text = re.sub(r"(?s)\{\{(\d+) × (.*?)\}\}", lambda found: int(found[1]) * found[2], text)
    parts = re.split(r"\{\{byte (..)\}\}", text)
    return b"".join(bytes.fromhex(part) if k % 2 else part.encode() for k, part in enumerate(parts))


def said(code, draft):
    """What is said about a draft, as `crossfell check` prints it, and how serious the code is."""
    here = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        try:
            Path("draft.toml").write_bytes(draft)
            piece = Piece(read_file(Path("draft.toml")))
            notes = (*piece.notes, *letter_notes(piece.draft))
        finally:
            os.chdir(here)
    if code in BY_HAND:
        notes = [doubt(code, piece.draft.spans[0].where, **BY_HAND[code])]
    mine = [note for note in notes if note.code == code]
    if not mine:
        told = sorted({note.code for note in notes})
        raise LookupError(f"the specimen of {code} gives {', '.join(told) or 'nothing'}")
    if mine[0].severity is Severity.ERROR:
        mine = [note for note in notes if note.severity is Severity.ERROR]
    few = mine[0].severity is Severity.ERROR and len(mine) <= MOST_SHOWN
    shown = mine if few else [note for note in mine if note.code == code][:1]
    text = "\n\n".join(rendered(note, piece.draft.text_of(note.where.file)) for note in shown)
    return text, mine[0].severity.value


def page():
    """The text of docs/errors.md."""
    groups = {kind: [] for kind in SEVERITIES}
    for code in codes():
        message = specimen(code)[1]
        kind = message.split("[")[0]
        groups[kind].append(f"### {code}\n\n```\n{message}\n```\n")
    parts = [HEAD]
    for kind, title in SEVERITIES.items():
        parts += [f"## {title}\n", *groups[kind]]
    return "\n".join(parts)


def renew():
    """Write every message anew, and the page."""
    for code in codes():
        path = FOLDER / f"{code}.txt"
        draft = path.read_text(encoding="utf-8").partition(LINE)[0]
        path.write_text(f"{draft}{LINE}{said(code, grown(draft))[0]}\n", encoding="utf-8")
    PAGE.write_text(page(), encoding="utf-8")
    missing = sorted(set(PROSE) - set(codes()))
    print(f"{len(codes())} specimens; without one: {', '.join(missing) or 'none'}")


if __name__ == "__main__":
    renew()

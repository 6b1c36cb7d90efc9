"""Can every letter be printed, and how large must it be to be read?

Letters that no shipped font has are said by name (crossfell/drawings/glyphs.py), and a note tells
the maker.
"""

from __future__ import annotations

import math
import re
import unicodedata
from typing import Any

from crossfell.base.notes import Note, advice
from crossfell.draft.model import Draft
from crossfell.drawings.glyphs import missing, printable
from crossfell.drawings.lettering import CAP_HEIGHT

PART = 6  # letters of a long word that stay together
LONGEST_TEXT = 4000  # what is longer is no text to be read
LONGEST_WORD = 40  # letters that every line has room for
_LONG_WORD = re.compile(rf"[^\s<>]{{{LONGEST_WORD + 1},}}")
COMFORTABLE, LEAST = 22.0, 16.0  # minutes of arc; published: ISO 9241-3 text, as quoted


def cap_height_mm(distance_mm: float, minutes: float = COMFORTABLE) -> float:
    """Height of a capital letter that is read from a distance: h = 2 D tan(α/2).

    Source: derived, definition of the visual angle. Checked: 9.60 mm at 1.5 m and 22′, 6.98 mm at
    16′, tests/papers/test_letters.py.
    """
    return 2 * distance_mm * math.tan(math.radians(minutes / 60) / 2)


def size_for_mm(distance_mm: float) -> float:
    """Letter size (mm) whose capitals can be read from a distance, in the shipped letters."""
    return cap_height_mm(distance_mm) / CAP_HEIGHT


def all_printable(data: Any) -> Any:
    """Plain data with every text in it made printable."""
    if isinstance(data, str):
        return breakable(printable(data)) if len(data) < LONGEST_TEXT else printable(data)
    if isinstance(data, dict):
        return {name: all_printable(value) for name, value in data.items()}
    if isinstance(data, (list, tuple)):
        return [all_printable(value) for value in data]
    return data


def breakable(text: str) -> str:
    """The text with places to break a line in words that no line has room for."""
    if len(text) <= LONGEST_WORD:
        return text
    return _LONG_WORD.sub(lambda word: "\u200b".join(_parts(word.group())), text)


def _parts(word: str) -> list[str]:
    return [word[at : at + PART] for at in range(0, len(word), PART)]


def letter_notes(draft: Draft) -> tuple[Note, ...]:
    """Advice for each text of the draft that has letters without a glyph."""
    about = draft.about
    texts: list[tuple[str, str]] = [
        ("title", about.title),
        ("maker", about.maker),
        ("client", about.client),
        ("number", about.number),
    ]
    notes = [_note(about.given.get(key, about.where), text) for key, text in texts]
    for span in draft.spans:
        for key, text in (("name", span.name), ("note", span.note)):
            notes.append(_note(span.given.get(key, span.where), text))
    notes += [_note(kind.where, kind.name) for kind in draft.kinds.values()]
    notes += [_note(yarn.where, name) for name, yarn in draft.yarns.items()]
    return tuple(note for note in notes if note)


def _note(where: Any, text: str) -> Note | None:
    lost = missing(text)
    if not lost:
        return None
    return advice("letter-not-shipped", where, letters=", ".join(map(_named, lost)), text=text)


def _named(letter: str) -> str:
    return f"U+{ord(letter):04X} {unicodedata.name(letter, 'without a name').lower()}"


__all__ = [
    "all_printable",
    "breakable",
    "cap_height_mm",
    "letter_notes",
    "missing",
    "printable",
    "size_for_mm",
]

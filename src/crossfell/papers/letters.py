"""Can every letter be printed, and how large must it be to be read?

Text from the draft may have letters that no shipped font has. A paper then says them by name,
in brackets, and a note tells the maker; it never shows an empty box.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping, Sequence
from typing import Any

from crossfell.base.notes import Note, advice
from crossfell.draft.model import Draft
from crossfell.drawings.lettering import advances
from crossfell.drawings.scene import CAP_HEIGHT

FONTS = (
    "AtkinsonHyperlegibleNext-Regular",
    "NotoSans-Regular",
    "NotoSansHebrew-Regular",
    "NotoSansArabic-Regular",
)
COMFORTABLE, LEAST = 22.0, 16.0  # minutes of arc; published: ISO 9241-3 text, as quoted
_CONTROLS = re.compile("[\x00-\x08\x0b-\x1f\x7f]")
# marks that join others, signs that are not seen, blanks
_SILENT = {"Mn", "Me", "Cf", "Cc", "Zl", "Zp", "Zs"}


def cap_height_mm(distance_mm: float, minutes: float = COMFORTABLE) -> float:
    """Height of a capital letter that is read from a distance: h = 2 D tan(α/2).

    Source: derived, definition of the visual angle. Checked: 9.60 mm at 1.5 m and 22′, 6.98 mm at
    16′, tests/papers/test_letters.py.
    """
    return 2 * distance_mm * math.tan(math.radians(minutes / 60) / 2)


def size_for_mm(distance_mm: float) -> float:
    """Letter size (mm) whose capitals can be read from a distance, in the shipped letters."""
    return cap_height_mm(distance_mm) / CAP_HEIGHT


def missing(text: str) -> tuple[str, ...]:
    """Letters of a text that no shipped font has, each once, in their order."""
    lost = (letter for letter in text if not _has(letter) and not _silent(letter))
    return tuple(dict.fromkeys(lost))


def printable(text: str) -> str:
    """The text with letters that no font has said by name: `[spool of thread]`."""
    if text.isascii():
        return _CONTROLS.sub("", text)
    return "".join(letter if _has(letter) else _said(letter) for letter in text)


def all_printable(data: Any) -> Any:
    """Plain data with every text in it made printable."""
    if isinstance(data, str):
        return printable(data)
    if isinstance(data, Mapping):
        return {name: all_printable(value) for name, value in data.items()}
    if isinstance(data, Sequence):
        return [all_printable(value) for value in data]
    return data


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
    notes += [_note(unit.where, unit.name) for unit in draft.units[:1]]
    return tuple(note for note in notes if note)


def _note(where: Any, text: str) -> Note | None:
    lost = missing(text)
    if not lost:
        return None
    return advice("letter-not-shipped", where, letters=", ".join(map(_named, lost)), text=text)


def _named(letter: str) -> str:
    return f"U+{ord(letter):04X} {unicodedata.name(letter, 'without a name').lower()}"


def _said(letter: str) -> str:
    if _silent(letter):
        return "\u00a0" if unicodedata.category(letter) == "Zs" else ""
    return f"[{unicodedata.name(letter, f'U+{ord(letter):04X}').lower()}]"


def _silent(letter: str) -> bool:
    return unicodedata.category(letter) in _SILENT


def _has(letter: str) -> bool:
    if letter in "\n\t":
        return True
    return any(ord(letter) in advances(font) for font in FONTS)

"""Which letters can be printed, with the letters that are shipped?

Text of a draft may have letters that no shipped font has. A picture or a paper then says them by
name, in brackets; it never shows an empty box.
"""

from __future__ import annotations

import re
import unicodedata

from crossfell.drawings.lettering import advances

FONTS = (
    "AtkinsonHyperlegibleNext-Regular",
    "NotoSans-Regular",
    "NotoSansHebrew-Regular",
    "NotoSansArabic-Regular",
)
_CONTROLS = re.compile("[\x00-\x08\x0b-\x1f\x7f]")
# marks that join others, signs that are not seen, blanks
_SILENT = {"Mn", "Me", "Cf", "Cc", "Zl", "Zp", "Zs"}


def missing(text: str) -> tuple[str, ...]:
    """Letters of a text that no shipped font has, each once, in their order."""
    lost = (letter for letter in text if not _has(letter) and not _silent(letter))
    return tuple(dict.fromkeys(lost))


def printable(text: str) -> str:
    """The text with letters that no font has said by name: `[spool of thread]`."""
    if text.isascii():
        if text.isprintable():
            return text
        return _CONTROLS.sub("", text)
    return "".join(letter if _has(letter) else _said(letter) for letter in text)


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

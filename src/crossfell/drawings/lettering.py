"""How wide is a line of text, in the letters that are shipped?

Reads the advance widths from the font files themselves (OpenType: tables head, hhea, hmtx and
cmap formats 4 and 12). Source: OpenType specification 1.9 (ISO/IEC 14496-22).
Checked: tests/drawings/test_lettering.py against fontTools.
"""

from __future__ import annotations

import struct
import unicodedata
from functools import lru_cache
from importlib.resources import files

FAMILY = "Atkinson Hyperlegible Next"
STACK = f"'{FAMILY}','Noto Sans','Noto Sans Hebrew','Noto Sans Arabic',sans-serif"
_REGULAR = ("AtkinsonHyperlegibleNext-Regular", "NotoSans-Regular", "NotoSansHebrew-Regular")
_BOLD = ("AtkinsonHyperlegibleNext-Bold", "NotoSans-Bold", "NotoSansHebrew-Regular")
_LAST = "NotoSansArabic-Regular"
CAP_HEIGHT = 0.67  # of the letter size; measured on the font that is shipped
DESCENT = 0.24
UNKNOWN_EM = 1.0  # a letter that no font has is given a whole em


def width_em(text: str, *, bold: bool = False) -> float:
    """Width of a line of text, in ems. Kerning and ligatures are neglected."""
    return sum(_letter_em(letter, bold) for letter in text)


@lru_cache(maxsize=4096)
def _letter_em(letter: str, bold: bool) -> float:
    if unicodedata.combining(letter):
        return 0.0
    for name in (*(_BOLD if bold else _REGULAR), _LAST):
        width = advances(name).get(ord(letter))
        if width is not None:
            return width
    return UNKNOWN_EM


@lru_cache(maxsize=8)
def advances(font: str) -> dict[int, float]:
    """Advance width in ems of each letter (code point) of a shipped font."""
    data = (files("crossfell.drawings") / "fonts" / f"{font}.ttf").read_bytes()
    count = struct.unpack_from(">H", data, 4)[0]
    tables = {}
    for i in range(count):
        tag, _, start, _ = struct.unpack_from(">4sLLL", data, 12 + 16 * i)
        tables[tag] = start
    per_em = struct.unpack_from(">H", data, tables[b"head"] + 18)[0]
    wide = struct.unpack_from(">H", data, tables[b"hhea"] + 34)[0]
    widths = [struct.unpack_from(">H", data, tables[b"hmtx"] + 4 * i)[0] for i in range(wide)]
    glyphs = _glyphs(data, tables[b"cmap"])
    return {code: widths[min(glyph, wide - 1)] / per_em for code, glyph in glyphs.items()}


def _glyphs(data: bytes, cmap: int) -> dict[int, int]:
    found: dict[int, int] = {}
    for i in range(struct.unpack_from(">H", data, cmap + 2)[0]):
        start = cmap + struct.unpack_from(">L", data, cmap + 4 + 8 * i + 4)[0]
        form = struct.unpack_from(">H", data, start)[0]
        if form == 4:
            found.update(_format4(data, start))
        elif form == 12:
            found.update(_format12(data, start))
    return found


def _format12(data: bytes, start: int) -> dict[int, int]:
    found = {}
    for i in range(struct.unpack_from(">L", data, start + 12)[0]):
        first, last, glyph = struct.unpack_from(">LLL", data, start + 16 + 12 * i)
        found.update({code: glyph + code - first for code in range(first, last + 1)})
    return found


def _format4(data: bytes, start: int) -> dict[int, int]:
    double = struct.unpack_from(">H", data, start + 6)[0]
    n = double // 2

    def row(at: int) -> tuple[int, ...]:
        return struct.unpack_from(f">{n}H", data, start + at)

    lasts, firsts = row(14), row(16 + double)
    steps, offsets = row(16 + 2 * double), row(16 + 3 * double)
    found = {}
    for i in range(n):
        for code in range(firsts[i], min(lasts[i], 0xFFFE) + 1):
            if offsets[i] == 0:
                glyph = (code + steps[i]) % 65536
            else:
                at = start + 16 + 3 * double + 2 * i + offsets[i] + 2 * (code - firsts[i])
                glyph = struct.unpack_from(">H", data, at)[0]
                glyph = (glyph + steps[i]) % 65536 if glyph else 0
            if glyph:
                found[code] = glyph
    return found

"""How are words written as large as a terminal allows?

Each letter is a small picture of half blocks, six lines high. The pictures are those of the letters
that are shipped (Atkinson Hyperlegible Next, bold, 12 px), in block_letters.txt.
Checked: tests/loomside/test_block_letters.py draws them again from the font.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files

ROWS = 12  # pixels; two to a line
BLANK = 4  # pixels of a space
_HALVES = {(0, 0): " ", (1, 0): "▀", (0, 1): "▄", (1, 1): "█"}

Letter = tuple[int, tuple[int, ...]]  # width in pixels, rows as bits, leftmost highest


@cache
def letters() -> dict[str, Letter]:
    """Every letter that there is a picture of."""
    text = (files("crossfell.loomside") / "block_letters.txt").read_text(encoding="utf-8")
    found: dict[str, Letter] = {" ": (BLANK, (0,) * ROWS)}
    for line in text.splitlines():
        if line and not line.startswith("# "):
            code, width, rows = line.split()
            found[chr(int(code, 16))] = (int(width), tuple(int(r, 16) for r in rows.split(",")))
    return found


def in_blocks(text: str, columns: int, *, most: int) -> str:
    """A text in large letters, wrapped between words; empty when it takes more lines than `most`.

    A text with a letter that there is no picture of, or a word wider than the terminal, is empty
    too: then it is written as usual.
    """
    table = letters()
    if not text or any(letter not in table for letter in text):
        return ""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if width_of(longer) <= columns:
            lines[-1] = longer
        elif width_of(word) <= columns:
            lines.append(word)
        else:
            return ""
    return "\n".join(map(_drawn, lines)) if len(lines) <= most else ""


def width_of(text: str) -> int:
    """Columns that a text takes."""
    return sum(letters()[letter][0] for letter in text)


def _drawn(line: str) -> str:
    rows = ["".join(_bits(*letters()[letter], row) for letter in line) for row in range(ROWS)]
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return "\n".join(
        "".join(_HALVES[int(a), int(b)] for a, b in zip(upper, lower, strict=True)).rstrip()
        for upper, lower in pairs
    )


def _bits(width: int, rows: tuple[int, ...], row: int) -> str:
    return f"{rows[row]:0{width}b}"

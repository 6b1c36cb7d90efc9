"""What was probably meant by a line that is no list of moves?

Usual slips are undone one after another, and what comes out is offered only if it can be read: a
guess is always a move. Otherwise the form of that kind of move is told.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from crossfell.base.nearest import nearest
from crossfell.draft.kinds import CROSSING, FIGURE, KINDS, ROUND


class Guess(NamedTuple):
    """What does not make sense, from which column (from 0), what is expected, what is right."""

    column: int
    found: str
    expected: str
    right: str = ""  # to be written there; empty where nothing is near


_SLIPS = tuple(
    (re.compile(pattern), right)
    for pattern, right in (
        (r"\s*[–—−‐‑]\s*", "-"),
        (r"(?<=\d)\s*(?:to|bis|\.\.)\s*(?=\d)", "-"),
        (r"(?<=\d),(?=\d+\s*(?:mm|cm|m|in|ft|yd)\b)", "."),
        (r"\s*;\s*", ", "),
        (r"\s+(?:and|then|&)\s+", ", "),
        (r"\.\s*$", ""),
        (r"[()\[\]]", ""),
        (r"^(turn|roll)\s+(left|right)\s+([\d\s-]+)$", r"\1 \3 \2"),
        (r"^shift\s+(left|right)\s+([\d-]+)\s+(.+)$", r"shift \2 \1 \3"),
        (r"^shift\s+([\d-]+)\s+([^a-z]+(?:mm|cm|m|in|ft|yd)?)\s+(left|right)$", r"shift \1 \3 \2"),
        (r"\b(left|right)\s+by\b", r"\1"),
        (r"(?:\b1/2|½|\ba\s+half)\s+(?:a\s+)?(?:place|pitch)\b", "half a place"),
        (r"(?<=left )(\d+)\s*x?$|(?<=right )(\d+)\s*x?$", r"\1\2 times"),
        (r"^([^\W\d][\w'-]*)\s*@?\s*(\d+)(?=\s|$)", r"\1 at \2"),
        (r"^([^\W\d][\w'-]*)((?:\s+[a-z]+)+)\s+at\s+(\d+)$", r"\1 at \3\2"),
        (r"^[^\W\d]+\s+(?=\d)", ""),
        (r"^(\d+)\s*x\s*(\d+)$", r"\1 over \2"),
        (r"(?<=\d)\s+(?=\d[\d-]*\s+(?:over|under)\b)", ", "),
    )
)
_FORMS = {kind.first_word or word: kind.told for kind, word in (
    *((kind, "") for kind in KINDS if kind.first_word),
    (FIGURE, "at"), (CROSSING, "over"), (CROSSING, "under"), (ROUND, "round"),
)}  # fmt: skip
_UNIT = re.compile(
    r"(?P<unit>[^\W\d]\w*\d+)\s+(?:over|under)\b|\b(?:over|under)\s+(?P<other>[^\W\d]\w*\d+)"
)
_DECIMAL = re.compile(r"(?<=\d),(?=\d+\s*(?:mm|cm|m|in|ft|yd)\b)")
_WORD = re.compile(r"[^\W\d]+")


def meant_by(
    line: str, column: int, keywords: Sequence[str], reads: Callable[[str], bool]
) -> Guess:
    """Guess at a line that stops making sense at a column; `reads` says whether a text is moves."""
    start, part = _part_at(line, column)
    found = re.compile(r"[\w']+|\S|$").match(line, column)
    stops = found.group() if found else ""
    for word in _WORD.finditer(part):
        near = nearest(word.group(), keywords)
        if near and reads(part[: word.start()] + near + part[word.end() :]):
            return Guess(start + word.start(), word.group(), f"did you mean `{near}`?", near)
    for text in _mended(part):
        if reads(text):
            return Guess(start, part, f"did you mean `{text}`?", text)
    if named := _UNIT.search(part):
        unit = named["unit"] or named["other"]
        says = "moves name places, from the weaver's left, not units"
        return Guess(start + part.index(unit), unit, says)
    kind = next((word for word in _WORD.findall(part.casefold()) if word in _FORMS), None)
    first = _WORD.match(part)
    if kind is None and first and first.group() not in keywords:
        return Guess(start, first.group(), f"`{first.group()}` is no word of the moves")
    return Guess(column, stops, _FORMS[kind or "over"])


def _part_at(line: str, column: int) -> tuple[int, str]:
    """The move round a column: from comma to comma, without a remark, and where it begins."""
    said = _DECIMAL.sub("\0", line.split("#", 1)[0])  # a comma for a point parts no moves
    first = said.rfind(",", 0, column) + 1
    end = said.find(",", column)
    part = line[first : end if end >= 0 else len(said)]
    if not part.strip():
        return column, ""
    return first + len(part) - len(part.lstrip()), part.strip()


def _mended(part: str) -> Iterator[str]:
    """The part with one slip undone, then with more and more of them."""
    plain = part.casefold()
    for slip, right in _SLIPS:
        mended = slip.sub(right, plain)
        if mended != part:
            yield mended
    for slip, right in _SLIPS:
        plain = slip.sub(right, plain)
        yield plain

"""Which parts of a text can be read by themselves?

A draft is mostly spans. Each `[[span]]`, with the tables of it that follow, is a part of its own,
and the rest is one more. A part that has been read is known by its letters: after an edit only the
part that it changed is read again (docs/decisions/0011).

A text read whole up to the beginning of a header is outside of all quotes and brackets there, so
that parts which can each be read make up the text; where one cannot, the text is read whole.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from crossfell.draft.scan import Scan

MOST_POINTS = 40  # in the name of a key: the standard reader takes long over many
MOST_PARTS = 2_000
DEEP = re.compile(rf"(?<![\w-])(?:[\w-]++[ \t]*+\.[ \t]*+){{{MOST_POINTS}}}")
_HEADER = re.compile(r"(?:\A|\n)[ \t]*(?=\[)")
_SPAN = re.compile(r"\[\[[ \t]*span[ \t]*\]\]")
_OF_SPAN = re.compile(r"\[\[?[ \t]*span[ \t]*\.")


@dataclass(frozen=True, slots=True)
class PartValues:
    """The values of a part, and where they stand in it. Nobody changes them."""

    data: Mapping[str, Any]
    scan: Scan


@dataclass(frozen=True, slots=True)
class Parts:
    """A text in parts; places in characters from its beginning."""

    plain: PartValues
    plain_text: str
    plain_at: tuple[tuple[int, int], ...]  # where each piece of the plain text begins: in it, there
    spans: tuple[tuple[int, str, PartValues], ...]  # where each begins, its text

    @property
    def data(self) -> dict[str, Any]:
        """The values of the whole text."""
        return {**self.plain.data, "span": [part.data["span"][0] for _, _, part in self.spans]}

    def place(self, position: int) -> int:
        """Where a character of the plain text stands in the whole."""
        inside, there = self.plain_at[bisect_right(self.plain_at, (position, 1 << 60)) - 1]
        return there + position - inside


def values_of(text: str) -> Mapping[str, Any]:
    """The values of a text. Errors: those of tomllib, and RecursionError."""
    parts = parts_of(text)
    return _loaded(text) if parts is None else parts.data


@lru_cache(maxsize=4)
def parts_of(text: str) -> Parts | None:
    """The parts of a text that has spans; None when it can only be read whole, or not at all."""
    plain, spans = _pieces(text)
    if not 0 < len(spans) <= MOST_PARTS:
        return None
    read = [(start, piece, _span_part(piece)) for start, piece in spans]
    head = "".join(piece for _, piece in plain)
    rest = _plain_part(head)
    good = [(start, piece, part) for start, piece, part in read if part and _is_one(part.data)]
    if rest is None or "span" in rest.data or len(good) < len(spans):
        return None
    at, inside = [], 0
    for start, piece in plain:
        at.append((inside, start))
        inside += len(piece)
    return Parts(rest, head, tuple(at) or ((0, 0),), tuple(good))


def _pieces(text: str) -> tuple[list[tuple[int, str]], list[tuple[int, str]]]:
    """Pieces of plain text, and spans, each with where it begins."""
    plain: list[tuple[int, str]] = []
    spans: list[tuple[int, str]] = []
    start, now = 0, plain
    for found in _HEADER.finditer(text):
        header = found.end()
        opens = _SPAN.match(text, header) is not None
        if now is spans and not opens and _OF_SPAN.match(text, header):
            continue
        if opens or now is spans:
            begins = found.start() + (text[found.start()] == "\n")
            if begins > start:
                now.append((start, text[start:begins]))
            start, now = begins, spans if opens else plain
    now.append((start, text[start:]))
    return plain, spans


def _is_one(data: Mapping[str, Any]) -> bool:
    rows = data.get("span")
    return len(data) == 1 and isinstance(rows, list) and len(rows) == 1


def _part(text: str) -> PartValues | None:
    """A part, if it can be read by itself."""
    if DEEP.search(text):
        return None
    try:
        return PartValues(_loaded(text), Scan(text))
    except (tomllib.TOMLDecodeError, RecursionError):
        return None


def _loaded(text: str) -> dict[str, Any]:
    return tomllib.loads(text.removeprefix("\ufeff").replace("\r\n", "\n"))


_span_part = lru_cache(maxsize=2 * MOST_PARTS)(_part)
_plain_part = lru_cache(maxsize=8)(_part)

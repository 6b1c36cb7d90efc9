"""How is one line of moves built up?

    line:     (move ("," move)* ","?)?
    move:     places ("over" | "under") places
            | ("turn" | "roll") places side ("twice" | COUNT "times")?
            | "shift" places side (LENGTH | COUNT)
            | "plait" places
            | NAME "at" COUNT ("mirrored" | "backwards" | "reversed")*
    places:   COUNT ("-" COUNT)?
    side:     "left" | "right"

At each point only the words that can stand there are looked for; blanks between them are free, and
a remark ends the line. Checked: the same grammar read by a parser generator, tests/outside.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

_FREE = re.compile(r"(?:[ \t\u00a0\u202f]+|#.*)*")
_COUNT = re.compile(r"\d{1,9}")
_LENGTH = re.compile(r"\d+(\.\d+)?(\s+\d+\/\d+)?(\/\d+)?\s*(mm|cm|m|in|ft|yd)\b")
_NAME = re.compile(r"[^\W\d][\w'-]*")
_DASH, _COMMA, _AT, _TIMES, _TWICE = map(re.compile, ("-", ",", "at", "times", "twice"))
_SIDE = re.compile("left|right")
_OVER = re.compile("over|under")
_MODIFIER = re.compile("mirrored|backwards|reversed")


class Places(NamedTuple):
    """Places first to last, and where they stand in the line (from 0)."""

    first: int
    last: int
    start: int
    end: int


class Phrase(NamedTuple):
    """One move as written: its kind, blocks of places, other words, where it stands."""

    kind: str  # "cross", "turn", "roll", "shift", "plait" or "figure"
    places: tuple[Places, ...]
    words: tuple[str, ...]
    start: int
    end: int


class Stops(Exception):  # noqa: N818 - it tells where
    """The line stops making sense at a column (from 0)."""

    def __init__(self, column: int) -> None:
        super().__init__(column)
        self.column = column


def phrases(line: str) -> list[Phrase]:
    """The moves of a line. Errors: Stops."""
    words = _Words(line)
    found: list[Phrase] = []
    while not words.at_end():
        found.append(_phrase(words))
        if words.at_end():
            break
        words.need(_COMMA)
    return found


@dataclass
class _Words:
    """A line as it is read; `end` is where the last word ended, `now` where the next begins."""

    line: str
    end: int = 0
    now: int = 0

    def at_end(self) -> bool:
        """Whether nothing follows."""
        return self._next() == len(self.line)

    def take(self, word: re.Pattern[str]) -> str:
        """The next word, if it is this one; otherwise nothing."""
        found = word.match(self.line, self._next())
        if found is None:
            return ""
        self.end = self.now = found.end()
        return found.group()

    def need(self, word: re.Pattern[str]) -> str:
        """The next word, which must be this one. Errors: Stops."""
        return self.take(word) or self.stop()

    def stop(self) -> str:
        """Say that the line stops making sense here."""
        raise Stops(self._next())

    def _next(self) -> int:
        free = _FREE.match(self.line, self.now)
        self.now = free.end() if free else self.now
        return self.now


def _phrase(words: _Words) -> Phrase:
    words.at_end()
    start = words.now
    if first := words.take(_COUNT):
        left, over = _places(words, first, start), words.need(_OVER)
        return Phrase("cross", (left, _places(words)), (over,), start, words.end)
    kind = words.need(_NAME)
    if kind not in {"turn", "roll", "shift", "plait"}:
        words.need(_AT)
        said = [kind, words.need(_COUNT)]
        while word := words.take(_MODIFIER):
            said.append(word)
        return Phrase("figure", (), tuple(said), start, words.end)
    places = _places(words)
    return Phrase(kind, (places,), _amount(words, kind), start, words.end)


def _amount(words: _Words, kind: str) -> tuple[str, ...]:
    """To which side, and how far or how often."""
    if kind == "plait":
        return ()
    side = words.need(_SIDE)
    if kind == "shift":
        return side, words.take(_LENGTH) or words.need(_COUNT)
    return side, _times(words)


def _places(words: _Words, first: str = "", start: int = 0) -> Places:
    if not first:
        words.at_end()
        start, first = words.now, words.need(_COUNT)
    last = words.need(_COUNT) if words.take(_DASH) else first
    return Places(int(first), int(last), start, words.end)


def _times(words: _Words) -> str:
    """How often, as a number; once when nothing is said."""
    if words.take(_TWICE):
        return "2"
    before = words.end
    if words.take(_LENGTH):  # a turn by a length makes no sense from its number on
        words.now = before
        return words.stop()
    count = words.take(_COUNT)
    if count:
        words.need(_TIMES)
    return count or "1"

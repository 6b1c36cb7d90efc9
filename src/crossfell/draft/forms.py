"""What stands in the form of a move: which words, and which slots to be filled?

A form is a row of words and of slots in braces, as `turn {block} {turning} {times}`. A slot knows
how what fills it is read and written, how it goes along when a move is laid further right, what
the mirror makes of it, and what the exchange of over and under does. The kinds of move (`kinds.py`)
are made of forms, so none of them says any of this again.

At each point only the words that can stand there are looked for; blanks between them are free, and
a remark ends the line. Checked: the same grammar read by a parser generator, tests/outside.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple

from crossfell.base.quantities import NotAQuantity, read_quantity

_FREE = re.compile(r"(?:[ \t\u00a0\u202f]+|#.*)*")
_COUNT = re.compile(r"\d{1,9}")
_LENGTH = re.compile(r"\d+(\.\d+)?(\s+\d+\/\d+)?(\/\d+)?\s*(mm|cm|m|in|ft|yd)\b")
_WHOLE = re.compile(r"\d{1,9}\s+places?\b")
_PLACES = re.compile(r"half\s+a\s+place\b|\d{1,9}\s+places?\b")
_DASH, _AT, _EVERY, _TO, _TIMES, _TWICE = map(
    re.compile, ("-", "at", "every", "to", "times", "twice")
)
_SIDE = re.compile("left|right")
_OVER = re.compile("over|under")
_MODIFIER = re.compile("mirrored|backwards|reversed")
_CHANGE = re.compile("mirrored|reversed")
NAME = re.compile(r"[^\W\d][\w'-]*")
MODIFIERS = ("mirrored", "backwards", "reversed")
HALF = 0.5  # of a place


class Stops(Exception):  # noqa: N818 - it tells where
    """The line stops making sense at a column (from 0)."""

    def __init__(self, column: int) -> None:
        super().__init__(column)
        self.column = column


@dataclass
class Words:
    """A line as it is read; `end` is where the last word ended, `now` where the next begins."""

    line: str
    end: int = 0
    now: int = 0

    def next(self) -> int:
        """Where the next word begins."""
        free = _FREE.match(self.line, self.now)
        self.now = free.end() if free else self.now
        return self.now

    def at_end(self) -> bool:
        """Whether nothing follows."""
        return self.next() == len(self.line)

    def sees(self, word: re.Pattern[str]) -> str:
        """The next word, if it is this one; it is not taken."""
        found = word.match(self.line, self.next())
        return found.group() if found else ""

    def take(self, word: re.Pattern[str]) -> str:
        """The next word, if it is this one; otherwise nothing."""
        found = word.match(self.line, self.next())
        if found is None:
            return ""
        self.end = self.now = found.end()
        return found.group()

    def need(self, word: re.Pattern[str]) -> str:
        """The next word, which must be this one. Errors: Stops."""
        return self.take(word) or self.stop()

    def stop(self) -> str:
        """Say that the line stops making sense here."""
        raise Stops(self.next())


@dataclass(frozen=True, slots=True)
class Block:
    """Neighbouring places first to last, and where they stand in the line."""

    first: int
    last: int
    column: int = field(default=0, compare=False)
    length: int = field(default=0, compare=False)

    def text(self) -> str:
        """As it is written."""
        return str(self.first) if self.first == self.last else f"{self.first}-{self.last}"


@dataclass(frozen=True, slots=True)
class Amount:
    """How far: by places, half of one too, or by a length in mm; `said` is how it was written."""

    places: float = 0.0
    length_mm: float = 0.0
    said: str = field(default="", compare=False)
    wrong: str = field(default="", compare=False)

    @property
    def bare(self) -> bool:
        """Whether it was written as a number alone."""
        return self.said.isdigit()

    def text(self) -> str:
        """As it is written; a length stays in the unit that it was written in."""
        if self.length_mm:
            return self.said or f"{self.length_mm:.12g} mm"
        if self.places == HALF:
            return "half a place"
        return "1 place" if self.places == 1 else f"{self.places:.0f} places"


class Every(NamedTuple):
    """A figure laid again and again: so many places on, until it is laid at `to`."""

    step: int
    to: int


def _keep(value: Any, _: int) -> Any:
    return value


@dataclass(frozen=True, slots=True)
class Slot:
    """What can stand in a form, and what becomes of it; `grammar` is its rule as the page has it.

    `mirrored` gets the first place plus the last of what is mirrored.
    """

    grammar: str
    read: Callable[[Words], Any]
    write: Callable[[Any], str]
    moved: Callable[[Any, int], Any] = _keep
    mirrored: Callable[[Any, int], Any] = _keep
    exchanged: Callable[[Any], Any] = lambda value: value


def _read_block(words: Words) -> Block:
    start, first = words.next(), words.need(_COUNT)
    last = words.need(_COUNT) if words.take(_DASH) else first
    return Block(int(first), int(last), start, words.end - start)


def _read_times(words: Words) -> int:
    """How often; once when nothing is said."""
    if words.take(_TWICE):
        return 2
    if words.sees(_LENGTH) or words.sees(_PLACES):  # of a turn that makes no sense, all of it
        words.stop()
    count = words.take(_COUNT)
    if count:
        words.need(_TIMES)
    return int(count or 1)


def _read_amount(words: Words) -> Amount:
    if length := words.take(_LENGTH):
        try:
            return Amount(length_mm=read_quantity(length, "length"), said=length)
        except NotAQuantity as problem:
            return Amount(said=length, wrong=str(problem))
    said = words.take(_PLACES) or words.need(_COUNT)
    return Amount(HALF if said.startswith("half") else float(said.split()[0]), said=said)


def _read_every(words: Words) -> Every | None:
    if not words.take(_EVERY):
        return None
    step = int(words.need(_COUNT))
    words.need(_TO)
    return Every(step, int(words.need(_COUNT)))


def _read_modifiers(words: Words, which: re.Pattern[str] = _MODIFIER) -> tuple[str, ...]:
    said = []
    while word := words.take(which):
        said.append(word)
    return tuple(said)


def _read_drift(words: Words) -> int:
    """Whole places to the right, and 0 when nothing is said."""
    side = words.take(_SIDE)
    return _sign(side) * int(words.need(_WHOLE).split()[0]) if side else 0


def _sign(side: str) -> int:
    return 1 if side == "right" else -1


def _toggled(said: tuple[str, ...], word: str) -> tuple[str, ...]:
    return tuple(name for name in MODIFIERS if (name in said) != (name == word))


def _minus(value: int, _: int) -> int:
    return -value


def _side(sign: int) -> str:
    return "right" if sign > 0 else "left"


def _read_side(words: Words) -> int:
    return _sign(words.need(_SIDE))


SLOTS = {
    "block": Slot(
        'COUNT ("-" COUNT)?', _read_block, Block.text,
        moved=lambda block, by: replace(block, first=block.first + by, last=block.last + by),
        mirrored=lambda block, ends: replace(block, first=ends - block.last,
                                             last=ends - block.first),
    ),
    "over": Slot(
        '"over" | "under"', lambda words: words.need(_OVER) == "over",
        lambda over: "over" if over else "under", exchanged=lambda over: not over,
    ),
    "way": Slot(  # over, unless something else is said
        '("over" | "under")?', lambda words: words.take(_OVER) != "under",
        lambda over: "" if over else "under", exchanged=lambda over: not over,
    ),
    "turning": Slot('"left" | "right"', _read_side, _side, mirrored=_minus,
                    exchanged=lambda sign: -sign),
    "side": Slot('"left" | "right"', _read_side, _side, mirrored=_minus),
    "times": Slot(
        '("twice" | COUNT "times")?', _read_times,
        lambda count: {1: "", 2: "twice"}.get(count, f"{count} times"),
    ),
    "amount": Slot('LENGTH | "half a place" | COUNT ("place" | "places")?', _read_amount,
                   Amount.text),
    "name": Slot("NAME", lambda words: words.need(NAME), str),
    "place": Slot("COUNT", lambda words: int(words.need(_COUNT)), str,
                  moved=lambda at, by: at + by, mirrored=lambda at, ends: ends - at),
    "every": Slot(
        '("every" COUNT "to" COUNT)?', _read_every,
        lambda every: f"every {every.step} to {every.to}" if every else "",
        moved=lambda every, by: every and every._replace(to=every.to + by),
        mirrored=lambda every, ends: every and every._replace(to=ends - every.to),
    ),
    "modifiers": Slot(
        '("mirrored" | "backwards" | "reversed")*', _read_modifiers, " ".join,
        mirrored=lambda said, _: _toggled(said, "mirrored"),
        exchanged=lambda said: _toggled(said, "reversed"),
    ),
    "changes": Slot('("mirrored" | "reversed")*', lambda words: _read_modifiers(words, _CHANGE),
                    " ".join),
    "drift": Slot(
        '(("left" | "right") COUNT ("place" | "places"))?', _read_drift,
        lambda by: f"{_side(by)} {Amount(places=abs(by)).text()}" if by else "",
    ),
}  # fmt: skip


@dataclass(frozen=True)
class Form:
    """A form, taken apart once: words to be found, and slots by the names of what fills them."""

    text: str
    parts: tuple[re.Pattern[str] | Slot, ...]
    names: tuple[str, ...]

    @classmethod
    def of(cls, text: str) -> Form:
        """The form of a text; `{other:block}` is a block that is called `other`."""
        parts: list[re.Pattern[str] | Slot] = []
        names = []
        for part in text.split():
            if part.startswith("{"):
                name, _, slot = part.strip("{}").partition(":")
                names.append(name)
                parts.append(SLOTS[slot or name])
            else:
                parts.append(re.compile(part))
        return cls(text, tuple(parts), tuple(names))

    def read(self, words: Words) -> tuple[Any, ...]:
        """What fills the slots. Errors: Stops."""
        values = []
        for part in self.parts:
            if isinstance(part, Slot):
                values.append(part.read(words))
            else:
                words.need(part)
        return tuple(values)

    def write(self, values: tuple[Any, ...]) -> str:
        """The form with its slots filled."""
        left = iter(values)
        said = [
            part.write(next(left)) if isinstance(part, Slot) else part.pattern
            for part in self.parts
        ]
        return " ".join(word for word in said if word)

    @property
    def slots(self) -> tuple[Slot, ...]:
        """Its slots, in order."""
        return tuple(part for part in self.parts if isinstance(part, Slot))

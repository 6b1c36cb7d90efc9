"""Which kinds of move does the language have?

A kind is one record: its form, examples, what it does in a few words, and how it is written with
crossings, turns, rolls and shifts (`plain.py`). Reading, writing, laying elsewhere, mirroring,
reversing, messages, the page of the language and the studio's tools follow from that, so that a new
kind is a new record here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from typing import Any

from crossfell.draft.forms import Amount, Block, Form
from crossfell.draft.plain import Cross, Move, Placing, Roll, Shift, Turn

MOST_TURNS = 1_000  # half turns in one move; no yarn takes more

Widths = Mapping[str, int]  # places that each figure takes


def _sound(_: Said) -> str:
    return ""


@dataclass(frozen=True, eq=False)
class Kind:
    """A kind of move.

    `out` writes it with plain moves, given the distance between places in mm; a figure is laid by
    its rows instead. `wrong` says what makes no sense in it. One that does not mirror is written
    out before it is mirrored or reversed. `key` is its key in the studio, where it is made
    of chosen places: of `least` or more.
    """

    name: str
    form: str
    examples: tuple[str, ...]
    does: str
    out: Callable[[Said, float], list[Move]]
    wrong: Callable[[Said], str] = _sound
    mirrors: bool = True
    key: str = ""
    least: int = 1
    parts: Form = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "parts", Form.of(self.form))

    @property
    def first_word(self) -> str:
        """The word that it begins with, if it does not begin with a slot."""
        word = self.form.split()[0]
        return "" if word.startswith("{") else word

    @property
    def goes(self) -> bool:
        """Whether it goes to a side."""
        return not {"turning", "side", "other"}.isdisjoint(self.parts.names)

    @property
    def told(self) -> str:
        """How it is written, in a sentence."""
        return f"a {self.name} is written " + " or ".join(f"`{text}`" for text in self.examples)

    def said(self, *values: Any) -> Said:
        """A move of this kind."""
        return Said(self, values)


@dataclass(frozen=True)
class Said:
    """A move as it is said: what fills the slots of its form, and where it stands in its line.

    Places are local: the warp's, or a figure's own.
    """

    kind: Kind
    values: tuple[Any, ...]
    column: int = field(default=0, compare=False)
    length: int = field(default=0, compare=False)

    def __getitem__(self, slot: str) -> Any:
        """What fills a slot."""
        return self.values[self.kind.parts.names.index(slot)]

    @cached_property
    def blocks(self) -> tuple[Block, ...]:
        """The blocks of places that it names."""
        return tuple(value for value in self.values if isinstance(value, Block))

    @property
    def figure(self) -> str:
        """The figure that it lays, if it does."""
        return str(self["name"]) if self.kind is FIGURE else ""

    @property
    def amount(self) -> Amount | None:
        """How far it goes, if it goes sideways."""
        return self["amount"] if "amount" in self.kind.parts.names else None

    @property
    def starts(self) -> range:
        """The places from which a figure is laid, one after another."""
        at, every = self["place"], self["every"]
        if every is None:
            return range(at, at + 1)
        step = every.step if every.to >= at else -every.step
        return range(at, every.to + (1 if step > 0 else -1), step or 1)

    def text(self) -> str:
        """As it is written."""
        return self.kind.parts.write(self.values)

    def moved(self, by: int) -> Said:
        """The same further right by places."""
        return self._with([s.moved(v, by) for s, v in self._filled()])

    def mirrored(self, ends: int, widths: Widths) -> list[Said]:
        """It mirrored left to right; `ends` is the first place plus the last of the mirror."""
        if not self.kind.mirrors:
            return [said for plain in self.written_out() for said in plain.mirrored(ends, widths)]
        ends -= widths[self.figure] - 1 if self.figure else 0
        return [self._with([s.mirrored(v, ends) for s, v in self._filled()])]

    def exchanged(self) -> list[Said]:
        """It with over and under exchanged, turns and rolls to the other side."""
        if not self.kind.mirrors:
            return [said for plain in self.written_out() for said in plain.exchanged()]
        return [self._with([s.exchanged(v) for s, v in self._filled()])]

    def written_out(self, pitch_mm: float = 0.0) -> list[Said]:
        """It as plain moves, in words."""
        return [said_of(move) for move in self.kind.out(self, pitch_mm)]

    def reach(self, widths: Widths) -> tuple[int, int]:
        """First and last place that it names."""
        if self.figure:
            starts = sorted(self.starts)
            return starts[0], starts[-1] + widths[self.figure] - 1
        return min(b.first for b in self.blocks), max(b.last for b in self.blocks)

    def touched(self, widths: Widths) -> tuple[int, int]:
        """First and last place that it can change, those that a shift goes to included."""
        first, last = self.reach(widths)
        if self.amount is None:
            return first, last
        by = self["side"] * max(int(self.amount.places), 1)
        return min(first, first + by), max(last, last + by)

    def _filled(self) -> zip[tuple[Any, Any]]:
        return zip(self.kind.parts.slots, self.values, strict=True)

    def _with(self, values: list[Any]) -> Said:
        return replace(self, values=tuple(values))


def _crossed(move: Said, _: float) -> list[Move]:
    return [_cross(move["block"], move["other"], over=move["over"])]


def _cross(mover: Block, other: Block, *, over: bool) -> Cross:
    left, right = sorted((mover, other), key=lambda block: block.first)
    return Cross(
        first=left.first, middle=right.first, last=right.last, left_over=over == (left is mover)
    )


def _round(move: Said, _: float) -> list[Move]:
    """Out on one side and back on the other: the second crossing is not the first undone."""
    out = _cross(move["block"], move["other"], over=move["way"])
    return [out, replace(out.undone(), left_over=out.left_over)]


def _turn(move: Said, _: float) -> list[Move]:
    block, turns = move["block"], move["turning"] * move["times"]
    kind = Roll if move.kind.name == "roll" else Turn
    return [kind(first=block.first, last=block.last, half_turns=turns)]


def _too_often(move: Said) -> str:
    fits = 1 <= move["times"] <= MOST_TURNS
    return "" if fits else f"a unit is turned 1 to {MOST_TURNS} times"


def _shift(move: Said, pitch_mm: float) -> list[Move]:
    block, side, amount = move["block"], move["side"], move["amount"]
    places = int(amount.places)
    length = amount.length_mm + (amount.places - places) * pitch_mm
    return [
        Shift(first=block.first, last=block.last, places=side * places, length_mm=side * length)
    ]


def _nowhere(move: Said) -> str:
    amount: Amount = move["amount"]
    goes = amount.places or amount.length_mm
    return amount.wrong or ("" if goes else "a shift goes somewhere: 1 place or more, or a length")


def _plait(move: Said, _: float) -> list[Move]:
    first, last = move["block"].first, move["block"].last
    return [
        Cross(first=a, middle=b, last=b, left_over=start == first)
        for start in (first, first + 1)
        for a, b in pairwise(range(start, last + 1))
        if (a - start) % 2 == 0
    ]


def _too_narrow(move: Said) -> str:
    wide = move["block"].first != move["block"].last
    return "" if wide else "a plait has two places or more, as `plait 3-8`"


def _by_its_rows(_: Said, __: float) -> list[Move]:
    raise TypeError("a figure is laid by its rows")


def _laid_oddly(move: Said) -> str:
    said, every, at = move["modifiers"], move["every"], move["place"]
    if twice := [word for word in said if said.count(word) > 1]:
        return f"`{twice[0]}` stands here twice"
    if every is None or (every.step and (every.to - at) % every.step == 0 and every.to != at):
        return ""
    if not every.step or every.to == at:
        return "a figure is laid again some places on, as `eye at 1 every 4 to 29`"
    last = at + (every.to - at) // every.step * every.step
    return f"every {every.step} from {at} comes to {last} and {last + every.step}, not {every.to}"


def layings(move: Said, places: int) -> list[Placing]:
    """How a figure so many places wide is laid, one after another."""
    mirrored, exchanged = ("mirrored" in move["modifiers"]), ("reversed" in move["modifiers"])
    return [Placing(at - 1, places if mirrored else 0, exchanged) for at in move.starts]


CROSSING = Kind(
    "crossing", "{block} {over} {other:block}", ("3-4 over 5-6", "2 under 3"),
    "neighbouring blocks change sides; the first passes over, or under, the other", _crossed,
)  # fmt: skip
ROUND = Kind(
    "round", "{block} round {other:block} {way}", ("4 round 5-7", "4 round 5-7 under"),
    "right round its neighbours and home again: over them out and under them back, or "
    "(`under`) under out and over back", _round, key="o",
)  # fmt: skip
TURN = Kind(
    "turn", "turn {block} {turning} {times}", ("turn 7 right", "turn 3-5 left twice"),
    "a half turn of each unit, or several", _turn, _too_often, key="t",
)  # fmt: skip
ROLL = Kind(
    "roll", "roll {block} {turning} {times}", ("roll 3-5 right", "roll 3-5 left twice"),
    "the block turned over as one: its order reverses", _turn, _too_often, key="r",
    least=2,
)  # fmt: skip
SHIFT = Kind(
    "shift", "shift {block} {side} {amount}",
    ("shift 1-4 right 2 places", "shift 1-4 right half a place", "shift 1-4 right 12 mm"),
    "sideways where nobody stands in the way", _shift, _nowhere, key="s",
)  # fmt: skip
PLAIT = Kind(
    "plait", "plait {block}", ("plait 3-8",),
    "3 over 4, 5 over 6, 7 over 8, then 4 under 5, 6 under 7", _plait, _too_narrow,
    mirrors=False, key="p", least=2,
)  # fmt: skip
FIGURE = Kind(
    "figure", "{name} at {place} {every} {modifiers}",
    ("NAME at 5", "NAME at 5 mirrored", "NAME at 1 every 4 to 29"),
    "a figure laid from a place on, or again and again across", _by_its_rows, _laid_oddly,
)  # fmt: skip
KINDS = (CROSSING, ROUND, TURN, ROLL, SHIFT, PLAIT, FIGURE)
RESERVED = tuple(kind.first_word for kind in KINDS if kind.first_word)
KEYWORDS = tuple(dict.fromkeys(
    word
    for kind in KINDS
    for text in (re.sub(r"\{.*?\}", "", kind.form), *(s.grammar for s in kind.parts.slots))
    for word in re.findall(r"[a-z]+", text)
))  # fmt: skip

EXAMPLES = ", ".join(f"`{kind.examples[0]}`" for kind in KINDS)


def said_of(move: Move) -> Said:
    """A plain move in words."""
    if isinstance(move, Cross):
        left, right = Block(move.first, move.middle - 1), Block(move.middle, move.last)
        return CROSSING.said(left, move.left_over, right)
    block = Block(move.first, move.last)
    if isinstance(move, Shift):
        amount = Amount(abs(move.places), abs(move.length_mm))
        return SHIFT.said(block, 1 if move.places + move.length_mm > 0 else -1, amount)
    sign = 1 if move.half_turns > 0 else -1
    return (TURN if isinstance(move, Turn) else ROLL).said(block, sign, abs(move.half_turns))

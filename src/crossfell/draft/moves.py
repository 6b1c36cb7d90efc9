"""What does a line of moves say?

`parsed` turns one line into syntax records whose columns count from 0 in that line. Places are
still local (a figure's own, or the warp's); `expand` lays them out.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from crossfell.base.quantities import NotAQuantity, read_quantity
from crossfell.draft.phrases import Phrase, Places, Stops, phrases

MOST_TURNS = 1_000  # half turns in one move; no yarn takes more
KEYWORDS = (
    "over", "under", "turn", "roll", "shift", "plait", "at", "left", "right", "twice", "times",
    "mirrored", "backwards", "reversed",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Block:
    """Neighbouring places first to last, where they stand in the line."""

    first: int
    last: int
    column: int
    length: int


@dataclass(frozen=True, slots=True)
class CrossText:
    """`3-4 over 5-6`: the block named first passes over, or under, the other."""

    first: Block
    over: bool
    second: Block
    column: int
    length: int


@dataclass(frozen=True, slots=True)
class TurnText:
    """`turn 7 right`, and `roll 3-5 right` when `as_one`: half turns, right positive."""

    block: Block
    half_turns: int
    as_one: bool
    column: int
    length: int


@dataclass(frozen=True, slots=True)
class ShiftText:
    """`shift 1-4 right 2`, or by a length in mm; right is positive."""

    block: Block
    places: int
    length_mm: float
    column: int
    length: int


@dataclass(frozen=True, slots=True)
class PlaitText:
    """`plait 3-8`."""

    block: Block
    column: int
    length: int


@dataclass(frozen=True, slots=True)
class FigureText:
    """`eye at 5 mirrored`."""

    name: str
    at: int
    mirrored: bool
    backwards: bool
    reversed: bool
    column: int
    length: int


MoveText = CrossText | TurnText | ShiftText | PlaitText | FigureText


@dataclass(frozen=True, slots=True)
class Unread:
    """A line that is no list of moves: where it stops making sense and what could stand there."""

    column: int
    length: int
    found: str
    expected: str


@lru_cache(maxsize=4096)
def parsed(line: str) -> tuple[MoveText, ...] | Unread:
    """Parse one line of moves (columns from 0)."""
    try:
        said = phrases(line)
    except Stops as stop:
        return _unread(line, stop.column)
    moves: list[MoveText] = []
    for phrase in said:
        try:
            moves.append(_sensible(_move(phrase)))
        except NotAQuantity as problem:
            start, end = phrase.start, phrase.end
            return Unread(start, end - start, line[start:end], str(problem))
    return tuple(moves)


def _move(phrase: Phrase) -> MoveText:
    column, length = phrase.start, phrase.end - phrase.start
    blocks, words = [_block(places) for places in phrase.places], phrase.words
    if phrase.kind == "cross":
        return CrossText(blocks[0], words[0] == "over", blocks[1], column, length)
    if phrase.kind in {"turn", "roll"}:
        turns = _side(words[0]) * int(words[1])
        return TurnText(blocks[0], turns, phrase.kind == "roll", column, length)
    if phrase.kind == "shift":
        sign, amount = _side(words[0]), words[1]
        if amount.isdigit():
            return ShiftText(blocks[0], sign * int(amount), 0.0, column, length)
        return ShiftText(blocks[0], 0, sign * read_quantity(amount, "length"), column, length)
    if phrase.kind == "plait":
        return PlaitText(blocks[0], column, length)
    name, at, *said = words
    if twice := [word for word in said if said.count(word) > 1]:
        raise NotAQuantity(f"`{twice[0]}` stands here twice")
    return FigureText(
        name,
        int(at),
        "mirrored" in said,
        "backwards" in said,
        "reversed" in said,
        column,
        length,
    )


def _sensible(move: MoveText) -> MoveText:
    """The move, when it moves something. Errors: NotAQuantity with a sentence."""
    if isinstance(move, TurnText) and not 1 <= abs(move.half_turns) <= MOST_TURNS:
        raise NotAQuantity(f"a unit is turned 1 to {MOST_TURNS} times")
    if isinstance(move, ShiftText) and not move.places and not move.length_mm:
        raise NotAQuantity("a shift goes somewhere: 1 place or more, or a length")
    if isinstance(move, PlaitText) and move.block.first == move.block.last:
        raise NotAQuantity("a plait has two places or more, as `plait 3-8`")
    return move


def _block(places: Places) -> Block:
    return Block(places.first, places.last, places.start, places.end - places.start)


def _side(word: str) -> int:
    return 1 if word == "right" else -1


def _unread(line: str, column: int) -> Unread:
    from crossfell.draft.slips import meant_by

    guess = meant_by(line, column, KEYWORDS, _reads)
    length = max(len(guess.found), 1)
    return Unread(guess.column, length, guess.found or "the end of the line", guess.expected)


def _reads(text: str) -> bool:
    """Whether a text is one move or more."""
    try:
        moves = [_sensible(_move(phrase)) for phrase in phrases(text)]
    except (Stops, NotAQuantity):
        return False
    named = [move.name for move in moves if isinstance(move, FigureText)]
    return bool(moves) and not set(named) & set(KEYWORDS)

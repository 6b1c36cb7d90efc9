"""What does a line of moves say?

`parsed` turns one line into syntax records whose columns count from 0 in that line. Places are
still local (a figure's own, or the warp's); `expand` lays them out.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from crossfell.base.quantities import NotAQuantity, read_quantity
from crossfell.draft.slips import meant_by

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
    from lark import UnexpectedInput

    try:
        tree = _grammar().parse(line)
    except UnexpectedInput as problem:
        return _unread(line, problem)
    moves: list[MoveText] = []
    for node in tree.children:
        try:
            moves.append(_sensible(_move(node)))
        except NotAQuantity as problem:
            start, end = node.meta.start_pos, node.meta.end_pos
            return Unread(start, end - start, line[start:end], str(problem))
    return tuple(moves)


@cache
def _grammar() -> Any:
    from lark import Lark

    text = (files("crossfell.draft") / "moves.lark").read_text(encoding="utf-8")
    return Lark(text, parser="lalr", start="line", propagate_positions=True)


def _move(node: Any) -> MoveText:
    column = node.meta.start_pos
    length = node.meta.end_pos - column
    parts = node.children
    if node.data == "cross":
        over = str(parts[1]) == "over"
        return CrossText(_block(parts[0]), over, _block(parts[2]), column, length)
    if node.data in {"turn", "roll"}:
        sign = _side(parts[1])
        times = _times(parts[2]) if len(parts) > 2 else 1
        return TurnText(_block(parts[0]), sign * times, node.data == "roll", column, length)
    if node.data == "shift":
        sign, amount = _side(parts[1]), parts[2]
        if amount.type == "COUNT":
            return ShiftText(_block(parts[0]), sign * int(amount), 0.0, column, length)
        return ShiftText(_block(parts[0]), 0, sign * _length(amount), column, length)
    if node.data == "plait":
        return PlaitText(_block(parts[0]), column, length)
    said = [str(modifier.children[0]) for modifier in parts[2:]]
    if twice := [word for word in said if said.count(word) > 1]:
        raise NotAQuantity(f"`{twice[0]}` stands here twice")
    return FigureText(
        str(parts[0]),
        int(parts[1]),
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


def _length(text: str) -> float:
    return read_quantity(text, "length")


def _block(node: Any) -> Block:
    first, last = int(node.children[0]), int(node.children[-1])
    return Block(first, last, node.meta.start_pos, node.meta.end_pos - node.meta.start_pos)


def _side(node: Any) -> int:
    return 1 if str(node.children[0]) == "right" else -1


def _times(node: Any) -> int:
    return 2 if str(node.children[0]) == "twice" else int(node.children[0])


def _unread(line: str, problem: Any) -> Unread:
    at_end = getattr(getattr(problem, "token", None), "type", "") == "$END"
    column = len(line) if at_end else max(problem.column - 1, 0)
    guess = meant_by(line, column, KEYWORDS, _reads)
    length = max(len(guess.found), 1)
    return Unread(guess.column, length, guess.found or "the end of the line", guess.expected)


def _reads(text: str) -> bool:
    """Whether a text is one move or more."""
    from lark import UnexpectedInput

    try:
        moves = [_sensible(_move(node)) for node in _grammar().parse(text).children]
    except (UnexpectedInput, NotAQuantity):
        return False
    named = [move.name for move in moves if isinstance(move, FigureText)]
    return bool(moves) and not set(named) & set(KEYWORDS)

"""How is a move written, and how is it written at other places, mirrored or reversed?

`as_text` is the inverse of `moves.parsed`. The others answer with the text of one or more moves.
Checked: tests/draft/test_rewrite.py (print and parse agree; a mirror of a mirror is the move).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from crossfell.draft.moves import (
    Block,
    CrossText,
    FigureText,
    MoveText,
    PlaitText,
    ShiftText,
    TurnText,
)
from crossfell.draft.script import NotEditable


def as_text(move: MoveText, length: str = "") -> str:
    """Write a move; `length` is how the length of a shift was written, when it was by length."""
    if isinstance(move, CrossText):
        return f"{_block(move.first)} {'over' if move.over else 'under'} {_block(move.second)}"
    if isinstance(move, TurnText):
        word = "roll" if move.as_one else "turn"
        return f"{word} {_block(move.block)} {_side(move.half_turns)}{_times(move.half_turns)}"
    if isinstance(move, ShiftText):
        side = _side(move.places or move.length_mm)
        amount = (
            str(abs(move.places)) if move.places else length or f"{abs(move.length_mm):.12g} mm"
        )
        return f"shift {_block(move.block)} {side} {amount}"
    if isinstance(move, PlaitText):
        return f"plait {_block(move.block)}"
    said = [word for word in ("mirrored", "backwards", "reversed") if getattr(move, word)]
    return " ".join([move.name, "at", str(move.at), *said])


def moved(move: MoveText, by: int) -> MoveText:
    """The same move further right by places."""
    if isinstance(move, FigureText):
        return replace(move, at=move.at + by)
    if isinstance(move, CrossText):
        return replace(move, first=_moved(move.first, by), second=_moved(move.second, by))
    return replace(move, block=_moved(move.block, by))


def mirrored(move: MoveText, ends: int, widths: Mapping[str, int]) -> list[MoveText]:
    """The move mirrored left to right; `ends` is the first place plus the last of the mirror."""
    if isinstance(move, FigureText):
        last = move.at + width_of(move, widths) - 1
        return [replace(move, at=ends - last, mirrored=not move.mirrored)]
    if isinstance(move, CrossText):
        first, second = _mirrored(move.first, ends), _mirrored(move.second, ends)
        return [replace(move, first=first, second=second)]
    if isinstance(move, PlaitText):
        return [step for cross in _plait(move) for step in mirrored(cross, ends, widths)]
    block = _mirrored(move.block, ends)
    if isinstance(move, TurnText):
        return [replace(move, block=block, half_turns=-move.half_turns)]
    return [replace(move, block=block, places=-move.places, length_mm=-move.length_mm)]


def reversed_(move: MoveText) -> list[MoveText]:
    """The move with over and under exchanged, turns and rolls to the other side."""
    if isinstance(move, FigureText):
        return [replace(move, reversed=not move.reversed)]
    if isinstance(move, CrossText):
        return [replace(move, over=not move.over)]
    if isinstance(move, TurnText):
        return [replace(move, half_turns=-move.half_turns)]
    if isinstance(move, PlaitText):
        return [replace(cross, over=not cross.over) for cross in _plait(move)]
    return [move]


def reach(move: MoveText, widths: Mapping[str, int]) -> tuple[int, int]:
    """First and last place that a move names."""
    if isinstance(move, FigureText):
        return move.at, move.at + width_of(move, widths) - 1
    if isinstance(move, CrossText):
        return (
            min(move.first.first, move.second.first),
            max(move.first.last, move.second.last),
        )
    return move.block.first, move.block.last


def touched(move: MoveText, widths: Mapping[str, int]) -> tuple[int, int]:
    """First and last place that a move can change, those that a shift goes to included."""
    first, last = reach(move, widths)
    if not isinstance(move, ShiftText):
        return first, last
    by = move.places or (1 if move.length_mm > 0 else -1)
    return min(first, first + by), max(last, last + by)


def width_of(move: FigureText, widths: Mapping[str, int]) -> int:
    """Places that a figure takes. Errors: NotEditable when the draft does not have it."""
    if move.name not in widths:
        raise NotEditable(f"figure {move.name} is not in this draft")
    return widths[move.name]


def _plait(move: PlaitText) -> list[CrossText]:
    first, last = move.block.first, move.block.last
    return [
        CrossText(_place(a), start == first, _place(a + 1), 0, 0)
        for start in (first, first + 1)
        for a in range(start, last, 2)
    ]


def _place(place: int) -> Block:
    return Block(place, place, 0, 0)


def _moved(block: Block, by: int) -> Block:
    return replace(block, first=block.first + by, last=block.last + by)


def _mirrored(block: Block, ends: int) -> Block:
    return replace(block, first=ends - block.last, last=ends - block.first)


def _block(block: Block) -> str:
    return str(block.first) if block.first == block.last else f"{block.first}-{block.last}"


def _side(amount: float) -> str:
    return "right" if amount >= 0 else "left"


def _times(half_turns: int) -> str:
    count = abs(half_turns)
    return {1: "", 2: " twice"}.get(count, f" {count} times")

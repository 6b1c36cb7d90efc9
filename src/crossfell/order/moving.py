"""What do the moves of a span do to the units on the batten?

The state is kept in the loom's frame: which unit lies in which place, how far it stands from the
middle of its place. Moves are made one after the other. Units are numbered by their ranks before
the span, so that the same moves do the same to any row in the same places.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crossfell.base.notes import NOWHERE, Note, Where, doubt, error
from crossfell.draft.model import Cross, Move, Roll, Shift, Turn
from crossfell.order.model import Floats, Ints, Made, Name
from crossfell.order.shapes import Shapes

EMPTY = -1


@dataclass(frozen=True, kw_only=True)
class Stand:
    """How the units stand before a span, by their ranks."""

    places: int  # how many there are
    pitch_mm: float
    place: Ints  # [units]
    offset_mm: Floats  # [units] from the middle of the place


def name_of(moves: Sequence[Move], stand: Stand) -> Name:
    """What all that the moves do follows from; slides apart, which offsets can stop."""
    return stand.places, stand.place.tobytes(), tuple([move.does for move in moves])


def made_by(
    moves: Sequence[Move], stand: Stand, names: Sequence[str], name: Name, shapes: Shapes
) -> Made:
    """Make the moves of a span; one that cannot be made is noted and left out."""
    row, done = _Row(stand, names), Crossings()
    slides = any(isinstance(move, Shift) and not move.places for move in moves)
    for index, move in enumerate(moves):
        row.make(move, index, done)
    return Made(
        name=name,
        shape=shapes.of(len(names), tuple(done.word)),
        move=_fixed(np.array(done.move, dtype=np.int64)),
        place=_fixed(np.array(row.place, dtype=np.int64)),
        half_turns=_fixed(np.array(row.half_turns, dtype=np.int64)),
        mirrored=_fixed(np.array(row.mirrored, dtype=np.int64)),
        slid_mm=_fixed(np.array(row.offset, dtype=np.float64)) if slides else None,
        notes=tuple(row.notes),
    )


@dataclass
class Crossings:
    """What the moves of one span have done so far."""

    word: list[int] = field(default_factory=list)
    move: list[int] = field(default_factory=list)


class _Row:
    """The units in their places, as numbers only: made anew for every edit.

    Places count from 1, `at[0]` is never used.
    """

    def __init__(self, stand: Stand, names: Sequence[str]) -> None:
        self.names = names
        self.pitch = stand.pitch_mm
        self.at = [EMPTY] * (stand.places + 1)
        self.place = stand.place.tolist()
        self.offset = stand.offset_mm.tolist()
        self.mirrored = [1] * len(self.place)
        self.half_turns = [0] * len(self.place)
        for unit, there in enumerate(self.place):
            self.at[there] = unit
        self.empty = [p for p in range(1, len(self.at)) if self.at[p] == EMPTY]
        self.notes: list[Note] = []

    def make(self, move: Move, index: int, done: Crossings) -> None:
        """Make one move; one that cannot be made is noted and left out."""
        if isinstance(move, Cross):
            self._cross(move, index, done)
        elif isinstance(move, Turn):
            self._turn(move)
        elif isinstance(move, Roll):
            self._roll(move, index, done)
        elif move.places:
            self._shift(move)
        else:
            self._slide(move)

    def _units(self, first: int, last: int) -> list[int]:
        return [unit for unit in self.at[first : last + 1] if unit != EMPTY]

    def _rank(self, place: int) -> int:
        """How many units lie left of a place."""
        return place - 1 - bisect_left(self.empty, place)

    def _put(self, first: int, block: list[int]) -> None:
        had_gap = EMPTY in block
        for place, unit in enumerate(block, first):
            self.at[place] = unit
            if unit != EMPTY:
                self.place[unit] = place
        if had_gap:
            self.empty = [p for p in range(1, len(self.at)) if self.at[p] == EMPTY]

    def _cross(self, move: Cross, index: int, done: Crossings) -> None:
        left = self.at[move.first : move.middle]
        right = self.at[move.middle : move.last + 1]
        lefts, rights = len(left) - left.count(EMPTY), len(right) - right.count(EMPTY)
        if not lefts or not rights:
            first, last = (move.first, move.middle - 1) if not lefts else (move.middle, move.last)
            self.notes.append(doubt("crosses-nothing", move.where, places=_places(first, last)))
        start, sign = self._rank(move.first) + lefts, 1 if move.left_over else -1
        for j in range(rights):  # each of the right block passes the left one from its right
            done.word += range(sign * (start + j), sign * (start + j - lefts), -sign)
        done.move += [index] * (lefts * rights)
        self._put(move.first, right + left)

    def _turn(self, move: Turn) -> None:
        units = self._units(move.first, move.last)
        if not units:
            self._note_empty(move.where, move.first, move.last)
        for unit in units:
            self.half_turns[unit] += move.half_turns

    def _roll(self, move: Roll, index: int, done: Crossings) -> None:
        units = self._units(move.first, move.last)
        if not units:
            self._note_empty(move.where, move.first, move.last)
        rank, sign = self._rank(move.first), 1 if move.half_turns > 0 else -1
        for _ in range(abs(move.half_turns)):
            for width in range(len(units) - 1, 0, -1):  # a half twist: the first goes to the end, …
                done.word += [sign * (rank + 1 + i) for i in range(width)]
                done.move += [index] * width
            self._put(move.first, self.at[move.first : move.last + 1][::-1])
            for unit in units:
                self.half_turns[unit] += sign
                self.mirrored[unit] = -self.mirrored[unit]
                self.offset[unit] = -self.offset[unit]

    def _note_empty(self, where: Where, first: int, last: int) -> None:
        self.notes.append(doubt("turns-nothing", where, places=_places(first, last)))

    def _shift(self, move: Shift) -> None:
        by = move.places
        first, last = move.first + by, move.last + by
        if first < 1 or last >= len(self.at):
            self._note_beyond(move)
            return
        way = range(move.last + 1, last + 1) if by > 0 else range(first, move.first)
        for place in way:
            if self.at[place] != EMPTY:
                mover = move.last if by > 0 else move.first
                self._note_in_the_way(move, self.at[place], mover)
                return
        block = self.at[move.first : move.last + 1]
        low, high = min(first, move.first), max(last, move.last)
        row = [EMPTY] * (high - low + 1)
        row[first - low : first - low + len(block)] = block
        self._put(low, row)

    def _slide(self, move: Shift) -> None:
        units = self._units(move.first, move.last)
        for unit in units if move.length_mm < 0 else reversed(units):
            self.offset[unit] += move.length_mm
            self._carry(unit, move)

    def _carry(self, unit: int, move: Shift) -> None:
        """Name a unit that has slid over half a pitch after the place that is now nearest."""
        by = round(self.offset[unit] / self.pitch) if self.pitch else 0
        target = self.place[unit] + by
        if not by:
            return
        if not 1 <= target < len(self.at):
            self._note_beyond(move)
        else:
            way = (
                range(self.place[unit] + 1, target + 1)
                if by > 0
                else range(target, self.place[unit])
            )
            for place in way:
                if self.at[place] != EMPTY:
                    self._note_in_the_way(move, self.at[place], self.place[unit])
                    break
            else:
                low, high = min(target, self.place[unit]), max(target, self.place[unit])
                row = [EMPTY] * (high - low + 1)
                row[target - low] = unit
                self._put(low, row)
                self.offset[unit] -= by * self.pitch
                return
        self.offset[unit] -= move.length_mm

    def _note_in_the_way(self, move: Shift, unit: int, mover: int) -> None:
        facts = {"unit": self.names[unit], "place": self.place[unit], "mover": mover}
        self.notes.append(error("passes-a-unit", move.where, **facts))

    def _note_beyond(self, move: Shift) -> None:
        facts = {"places": len(self.at) - 1}
        self.notes.append(error("beyond-the-batten", move.where or NOWHERE, **facts))


def _places(first: int, last: int) -> str:
    return f"place {first}" if first == last else f"places {first} to {last}"


def _fixed(array: NDArray[Any]) -> NDArray[Any]:
    array.setflags(write=False)
    return array

"""What does each move do to the units on the batten?

The state is kept in the loom's frame: which unit lies in which place, how far it stands from the
middle of its place, which face is forward. Moves are made one after the other.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, field

from crossfell.base.notes import NOWHERE, Note, Where, doubt, error
from crossfell.draft.model import Cross, Draft, Move, Roll, Shift, Turn

EMPTY = -1


@dataclass
class Crossings:
    """What the moves of one span have done so far."""

    word: list[int] = field(default_factory=list)
    move: list[int] = field(default_factory=list)
    half_turns: dict[int, int] = field(default_factory=dict)


class Batten:
    """The units in their places; places count from 1, `at[0]` is never used."""

    def __init__(self, draft: Draft) -> None:
        self.names = tuple(unit.name for unit in draft.units)
        self.pitch = draft.pitch_mm
        self.at = [EMPTY] * (draft.place_count + 1)
        self.place = [unit.place for unit in draft.units]
        self.offset = [0.0] * len(draft.units)
        self.face = [1] * len(draft.units)
        for number, unit in enumerate(draft.units):
            self.at[unit.place] = number
        self.empty = [p for p in range(1, len(self.at)) if self.at[p] == EMPTY]
        self.notes: list[Note] = []

    def state(self) -> tuple[list[int], list[float], list[int]]:
        """Place, offset and face of every unit as they are now."""
        return list(self.place), list(self.offset), list(self.face)

    def from_the_left(self) -> list[int]:
        """Units as they lie now."""
        return [unit for unit in self.at[1:] if unit != EMPTY]

    def make(self, move: Move, index: int, done: Crossings) -> None:
        """Make one move; one that cannot be made is noted and left out."""
        if isinstance(move, Cross):
            self._cross(move, index, done)
        elif isinstance(move, Turn):
            self._turn(move, done)
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
        left = self._units(move.first, move.middle - 1)
        right = self._units(move.middle, move.last)
        if not left or not right:
            first, last = (move.first, move.middle - 1) if not left else (move.middle, move.last)
            self.notes.append(doubt("crosses-nothing", move.where, places=_places(first, last)))
        start, sign = self._rank(move.first) + len(left), 1 if move.left_over else -1
        for j in range(len(right)):  # each of the right block passes the left one from its right
            done.word += [sign * (start + j - i) for i in range(len(left))]
        done.move += [index] * (len(left) * len(right))
        block = self.at[move.middle : move.last + 1] + self.at[move.first : move.middle]
        self._put(move.first, block)

    def _turn(self, move: Turn, done: Crossings) -> None:
        units = self._units(move.first, move.last)
        if not units:
            self._note_empty(move.where, move.first, move.last)
        for unit in units:
            self._half_turns(unit, move.half_turns, done)

    def _half_turns(self, unit: int, count: int, done: Crossings) -> None:
        done.half_turns[unit] = done.half_turns.get(unit, 0) + count
        if count % 2:
            self.face[unit] = -self.face[unit]

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
                self._half_turns(unit, sign, done)
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

"""Which moves bring units back to where, and how, they were drawn to lie at a band?

What is missing is a braid: what was woven undone, then what was drawn. When its crossings are
those of one permutation they are made as they are; the piece is then as drawn from there on,
whatever the band in between shows. Otherwise units only go back to their places, each pair once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from crossfell.draft.forms import Block
from crossfell.draft.kinds import CROSSING, said_of
from crossfell.draft.plain import Shift, Turn
from crossfell.order.batten import Row
from crossfell.order.braid import inverse_of, same_braid
from crossfell.order.model import Order
from crossfell.order.pairs import pairs_in
from crossfell.order.reduce import reduced
from crossfell.order.relation import layers_of, rows_of
from crossfell.plan.passing import Move, passed_in_place

MOST_LETTERS = 16  # crossings that are offered to make the whole braid as drawn


@dataclass(frozen=True, kw_only=True)
class PutRight:
    """Moves, as a draft writes them, for the first span that is still to come."""

    moves: tuple[str, ...]  # to the drawn places and faces
    crossings: int
    exact: bool  # whether the braid from the first band on is then as drawn
    exactly: tuple[str, ...]  # moves after which it is, where `moves` do not do it; else empty


def put_right(woven: Order, drawn: Order, band: int) -> PutRight:
    """Moves from the woven to the drawn arrangement at a band (index from 0)."""
    row = row_at(woven, band)
    missing = _missing(woven, drawn, band)
    pairs = _pairs(row, row_at(drawn, band), missing)
    moves = passed_in_place(row, *pairs, hand=len(row)).moves
    goal, offsets = drawn.place[band].tolist(), drawn.offset_mm[band].tolist()
    places, stand = woven.place[band].tolist(), woven.offset_mm[band].tolist()
    writing = _Writing(places, goal, stand)
    texts = [writing.cross(move) for move in moves]
    word = _word(row, pairs)
    turns = _missing_turns(woven, drawn, band)
    faces = {unit: 1 if by > 0 else -1 for unit, by in turns.items() if by % 2}
    exact = missing is not None and same_braid(len(row), word, missing) and faces == turns
    exactly: tuple[str, ...] = ()
    if not exact and missing is not None and len(missing) <= MOST_LETTERS:
        exactly = moves_of_word(missing, places, goal, (stand, offsets), turns)
    return PutRight(
        moves=(*texts, *writing.settle(goal, offsets), *_turns(goal, faces)),
        crossings=len(word),
        exact=exact,
        exactly=exactly,
    )


def row_at(order: Order, band: int) -> list[int]:
    """Units from the left at a band (index from 0)."""
    at = list(zip(order.place[band].tolist(), order.offset_mm[band].tolist(), strict=True))
    return sorted(range(len(at)), key=at.__getitem__)


def _missing(woven: Order, drawn: Order, band: int) -> tuple[int, ...] | None:
    done = [letter for span in woven.spans[:band] for letter in span.word]
    wanted = [letter for span in drawn.spans[:band] for letter in span.word]
    return reduced([*inverse_of(done), *wanted])


def _pairs(
    row: Sequence[int], goal: Sequence[int], missing: tuple[int, ...] | None
) -> tuple[list[int], list[int]]:
    """Crossings (over, under) from one row to the other: as they are missing, if that is layable.

    Otherwise who comes from the left goes over, which always is.
    """
    at = {unit: i for i, unit in enumerate(goal)}
    n = len(row)
    swapped = [(u, v) for i, u in enumerate(row) for v in row[i + 1 :] if at[u] > at[v]]
    tops = _tops(row, missing or ())
    over = [u if tops.get((u, v), u) == u else v for u, v in swapped]
    under = [v if top == u else u for top, (u, v) in zip(over, swapped, strict=True)]
    if layers_of(n, rows_of(n, over, under)) is None:
        return [u for u, _ in swapped], [v for _, v in swapped]
    return over, under


def _tops(row: Sequence[int], word: Sequence[int]) -> dict[tuple[int, int], int]:
    """Who is over at the last crossing of each pair; pairs as they stand in `row`."""
    tops = {}
    crossings = zip(word, pairs_in(len(row), word), strict=True)
    turned: dict[tuple[int, int], bool] = {}  # whether the pair has changed sides so far
    for letter, (a, b) in crossings:
        left_over = letter > 0
        is_turned = turned.get((a, b), False)
        tops[row[a], row[b]] = row[a] if left_over != is_turned else row[b]
        turned[a, b] = not is_turned
    return tops


def _word(row: Sequence[int], pairs: tuple[list[int], list[int]]) -> list[int]:
    """A word of these crossings, neighbour by neighbour."""
    tops = {frozenset(pair): pair[0] for pair in zip(*pairs, strict=True)}
    now, left, word = list(row), set(tops), []
    while left:
        for i in range(len(now) - 1):
            pair = frozenset(now[i : i + 2])
            if pair in left:
                word.append(i + 1 if tops[pair] == now[i] else -(i + 1))
                now[i], now[i + 1] = now[i + 1], now[i]
                left.discard(pair)
    return word


def moves_of_word(
    word: Sequence[int],
    places: Sequence[int],
    goal: Sequence[int],
    offsets_mm: tuple[Sequence[float], Sequence[float]],
    turns: Mapping[int, int],
) -> tuple[str, ...]:
    """Moves that cross a row of units (`places` of each) by a word, then bring it to its `goal`.

    `offsets_mm` is how far each stands from the middle of its place, before and after; `turns`
    half turns of units, right +1.
    """
    writing = _Writing(places, goal, offsets_mm[0])
    texts = writing.cross_by(word)
    return (*texts, *writing.settle(goal, offsets_mm[1]), *_turns(goal, turns))


class _Writing:
    """Moves as they are written, and the row of units that they lead to."""

    def __init__(self, places: Sequence[int], goal: Sequence[int], off_mm: Sequence[float]) -> None:
        count = max((*places, *goal), default=0)
        self.row = Row(places, (1,) * len(places), off_mm, count)

    def cross_by(self, word: Sequence[int]) -> list[str]:
        """Crossing after crossing, as a braid is written."""
        texts = []
        for letter in word:
            left, right = self.row.ranks[abs(letter) - 1 : abs(letter) + 1]
            texts.append(self.cross(Move(hand=(left,), passed=(right,), over=letter > 0)))
        return texts

    def cross(self, move: Move) -> str:
        """One block over, or under, the next; empty places between go along with the left one."""
        row, left, right = self.row, move.hand, move.passed
        if row.at[left[0]] > row.at[right[0]]:
            left, right = right, left
        first, middle, last = row.at[left[0]], row.at[right[0]], row.at[right[-1]]
        to = [row.at[unit] + last - middle + 1 for unit in left]
        row.lift(left, below=move.over != (left is move.hand))
        back = [row.at[unit] - (middle - first) for unit in right]
        row.slide(right, back, [row.off_mm[unit] for unit in right])
        row.lay(left, to, [row.off_mm[unit] for unit in left])
        blocks = Block(first, middle - 1), Block(middle, last)
        one, other = blocks if left is move.hand else blocks[::-1]
        return CROSSING.said(one, move.over, other).text()

    def settle(self, goal: Sequence[int], offsets_mm: Sequence[float]) -> list[str]:
        """Sideways to the places of `goal`, nobody passing; then by lengths."""
        row, texts = self.row, []
        for way in (1, -1):
            for unit in row.ranks[::-way]:  # the outermost makes room first
                at, by = row.at[unit], goal[unit] - row.at[unit]
                if by * way > 0:
                    texts.append(said_of(Shift(first=at, last=at, places=by)).text())
                    row.slide((unit,), (goal[unit],), (row.off_mm[unit],))
        for unit in row.ranks:
            off = offsets_mm[unit] - row.off_mm[unit]
            if abs(off) > 1e-9:
                at, length = goal[unit], float(f"{off:.6g}")
                texts.append(said_of(Shift(first=at, last=at, length_mm=length)).text())
        return texts


def _missing_turns(woven: Order, drawn: Order, band: int) -> dict[int, int]:
    """Half turns of each unit that are missing; right is +1."""
    missing = {}
    for unit in range(len(drawn.names)):
        wanted = sum(int(span.half_turns[unit]) for span in drawn.spans[:band])
        done = sum(int(span.half_turns[unit]) for span in woven.spans[:band])
        if wanted != done:
            missing[unit] = wanted - done
    return missing


def _turns(places: Sequence[int], missing: Mapping[int, int]) -> list[str]:
    turns = (
        Turn(first=places[unit], last=places[unit], half_turns=by) for unit, by in missing.items()
    )
    return [said_of(turn).text() for turn in turns]

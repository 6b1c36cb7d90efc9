"""Which two units cross, how often, how far round each other, and what undoes itself?

Over the whole piece. The signed sum counts +1 for each crossing whose left unit passes over, −1
for under; half of it is the linking number of the pair (whole when it ends in its old order), and
every two in one direction are a full wrap. More crossings than the signed sum may cancel, but a
third unit can hold them. So each two that could is tried exactly: without both, is it the same
braid? What comes out only after rewriting shows in the reduced word.
Source: definition (C. F. Gauss; D. Rolfsen, Knots and Links, 1976, from memory).
Checked: spherogram, tests/outside/test_linking.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from crossfell.order.braid import ranks_of
from crossfell.order.model import Order
from crossfell.order.reduce import reduced, undo_each_other

MOST_STEPS = 2_000  # of the reduction of the whole piece


@dataclass(frozen=True, slots=True)
class MadeCrossing:
    """One crossing: in which span (number), at which place of its word and by which move."""

    span: int
    index: int
    move: int  # index into the span's moves


@dataclass(frozen=True, kw_only=True)
class Pair:
    """Two units over the whole piece, the one with the lower number first."""

    units: tuple[int, int]
    crossings: int
    signed: int
    undone: tuple[
        tuple[MadeCrossing, MadeCrossing], ...
    ]  # crossings that undo each other, each at most once
    left: int | None  # crossings left in the reduced word; None: not reduced within the limit

    @property
    def wraps(self) -> int:
        """Full twists round each other."""
        return abs(self.signed) // 2

    @property
    def linking(self) -> float:
        """Linking number: half of the signed sum."""
        return self.signed / 2

    @property
    def candidates(self) -> int:
        """Crossings beyond the signed sum: only these can undo each other."""
        return self.crossings - abs(self.signed)


@dataclass(frozen=True, kw_only=True)
class _Line:
    """All crossings of the piece in one row; units are ranks at the first band."""

    word: Sequence[int]
    pairs: Sequence[tuple[int, int]]
    made: Sequence[MadeCrossing]


def pairs_of(order: Order) -> tuple[Pair, ...]:
    """Every pair that crosses, by the numbers of its units."""
    names = ranks_of(order)
    line = _line(order, names)
    signed, crossings = signed_sums(line.word, line.pairs)
    candidates = {pair for pair in crossings if len(crossings[pair]) > abs(signed[pair])}
    left = _left(line, len(names)) if candidates else None
    out = []
    for pair, at in crossings.items():
        a, b = sorted((names[pair[0]], names[pair[1]]))
        is_candidate = pair in candidates
        undone = (
            tuple(
                (line.made[i], line.made[j])
                for i, j in undone_of(line.word, line.pairs, at, len(names))
            )
            if is_candidate
            else ()
        )
        count = (left or {}).get(pair, 0) if left is not None else None
        out.append(
            Pair(
                units=(a, b),
                crossings=len(at),
                signed=signed[pair],
                undone=undone,
                left=count if is_candidate else len(at),
            )
        )
    return tuple(sorted(out, key=lambda pair: pair.units))


def signed_sums(
    word: Sequence[int], pairs: Sequence[tuple[int, int]]
) -> tuple[dict[tuple[int, int], int], dict[tuple[int, int], list[int]]]:
    """Signed sum of each pair, and where in the word it crosses."""
    signed: dict[tuple[int, int], int] = {}
    crossings: dict[tuple[int, int], list[int]] = {}
    for at, (letter, pair) in enumerate(zip(word, pairs, strict=True)):
        if pair in signed:
            signed[pair] += 1 if letter > 0 else -1
            crossings[pair].append(at)
        else:
            signed[pair] = 1 if letter > 0 else -1
            crossings[pair] = [at]
    return signed, crossings


def pairs_in(n: int, word: Sequence[int]) -> list[tuple[int, int]]:
    """The pair that each letter of a word crosses, strands numbered from 0 at the left."""
    row, pairs = list(range(n)), []
    for letter in word:
        at = abs(letter)
        a, b = row[at - 1], row[at]
        row[at - 1], row[at] = b, a
        pairs.append((a, b) if a < b else (b, a))
    return pairs


def _line(order: Order, names: Sequence[int]) -> _Line:
    word = [letter for span in order.spans for letter in span.word]
    made = [
        MadeCrossing(span.number, index, int(move))
        for span in order.spans
        for index, move in enumerate(span.move)
    ]
    return _Line(word=word, pairs=pairs_in(len(names), word), made=made)


def _left(line: _Line, n: int) -> dict[tuple[int, int], int] | None:
    short = reduced(line.word, most_steps=MOST_STEPS)
    if short is None:
        return None
    _, crossings = signed_sums(short, pairs_in(n, short))
    return {pair: len(at) for pair, at in crossings.items()}


def undone_of(
    word: Sequence[int], pairs: Sequence[tuple[int, int]], at: Sequence[int], n: int
) -> list[tuple[int, int]]:
    """Neighbours in `at` (crossings of one pair) that can both be left out, from the first on.

    `pairs` has, for each letter of the word, the two units that cross; n is how many there are.
    """
    out = []
    used = -1
    for first, second in pairwise(at):
        if first > used and _can_undo(word, pairs, first, second, n):
            out.append((first, second))
            used = second
    return out


def _can_undo(
    word: Sequence[int], pairs: Sequence[tuple[int, int]], first: int, second: int, n: int
) -> bool:
    if word[first] * word[second] > 0:
        return False
    a, b = pairs[first]
    held = [0] * n  # the two change places in between: each third unit must be passed alike
    for at in range(first + 1, second):
        u, v = pairs[at]
        sign = 1 if word[at] > 0 else -1
        if u in {a, b}:
            held[v] += sign if u == a else -sign
        if v in {a, b}:
            held[u] += sign if v == a else -sign
    return not any(held) and undo_each_other(word, first, second, n)

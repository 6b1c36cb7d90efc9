"""Which braid is it, exactly?

A span is a framed braid: signed crossings of the units present, with half turns on each unit. Two
words give the same braid exactly when their Dynnikov coordinates agree, and the same framed braid
when each unit also has the same half turns. Coordinates are whole numbers that can grow by 0.69
bits with each crossing; Python's integers hold them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from crossfell.order.model import Order


@dataclass(frozen=True, slots=True)
class Braid:
    """A framed braid of n units.

    `coordinates` are a1, b1, …, an, bn; `row` the unit at each rank from the left, units numbered
    by their rank at the start; `half_turns` the signed half turns of each unit, in that numbering.
    """

    coordinates: tuple[int, ...]
    row: tuple[int, ...]
    half_turns: tuple[int, ...]


def untouched(n: int) -> Braid:
    """The braid of n units that nothing has been done to."""
    return Braid((0, 1) * n, tuple(range(n)), (0,) * n)


def braid_of(n: int, word: Iterable[int]) -> Braid:
    """The braid of a word alone: +i when the i-th from the left passes over the next, −i under."""
    return after(untouched(n), word)


def same_braid(n: int, one: Sequence[int], other: Sequence[int]) -> bool:
    """Whether two words on n units are the same braid."""
    return (
        list(one) == list(other) or braid_of(n, one).coordinates == braid_of(n, other).coordinates
    )


def inverse_of(word: Sequence[int]) -> list[int]:
    """The word that undoes a word."""
    return [-letter for letter in reversed(word)]


def after(braid: Braid, word: Iterable[int], half_turns: Sequence[int] = ()) -> Braid:
    """The braid with a word, and half turns of each unit, done after it.

    A crossing at i changes only a_i, b_i, a_i+1, b_i+1. Source: the update rules of I. Dynnikov
    (2002), as in P. Dehornoy et al., Ordering Braids (2008), chapter XII, from memory. Checked:
    Garside normal form and recorded BraidGroup verdicts, tests/outside/test_braids.py.
    """
    state = list(braid.coordinates)
    row = list(braid.row)
    for letter in word:
        left = letter - 1 if letter > 0 else -letter - 1
        at = 2 * left
        x1, y1, x2, y2 = state[at : at + 4]
        state[at : at + 4] = _over(x1, y1, x2, y2) if letter > 0 else _under(x1, y1, x2, y2)
        row[left], row[left + 1] = row[left + 1], row[left]
    turns = braid.half_turns
    if half_turns:
        turns = tuple(was + more for was, more in zip(turns, half_turns, strict=True))
    return Braid(tuple(state), tuple(row), turns)


# The innermost loop of every comparison: a conditional takes a fraction of the time of max().
def _over(x1: int, y1: int, x2: int, y2: int) -> tuple[int, int, int, int]:
    y1_up, y1_down = (y1, 0) if y1 > 0 else (0, y1)
    y2_up, y2_down = (y2, 0) if y2 > 0 else (0, y2)
    z = x1 - y1_down - x2 + y2_up
    z_up = z if z > 0 else 0  # noqa: FURB136 - see above
    down = y1_down + z
    return (
        x1 + y1_up + (y2_up - z if y2_up > z else 0),
        y2 - z_up,
        x2 + y2_down + (down if down < 0 else 0),  # noqa: FURB136 - see above
        y1 + z_up,
    )


def _under(x1: int, y1: int, x2: int, y2: int) -> tuple[int, int, int, int]:
    y1_up, y1_down = (y1, 0) if y1 > 0 else (0, y1)
    y2_up, y2_down = (y2, 0) if y2 > 0 else (0, y2)
    z = x1 + y1_down - x2 - y2_up
    z_down = z if z < 0 else 0  # noqa: FURB136 - see above
    up = y2_up + z
    return (
        x1 - y1_up - (up if up > 0 else 0),  # noqa: FURB136 - see above
        y2 + z_down,
        x2 - y2_down - (y1_down - z if y1_down < z else 0),
        y1 - z_down,
    )


def ranks_of(order: Order) -> tuple[int, ...]:
    """Units from the left at the first band."""
    first = zip(order.place[0].tolist(), order.offset_mm[0].tolist(), strict=True)
    return tuple(unit for _, unit in sorted((at, unit) for unit, at in enumerate(first)))


def braids_of(order: Order) -> list[Braid]:
    """The braid from the first band to the end of each span: one more than spans."""
    ranks = ranks_of(order)
    braids = [untouched(len(ranks))]
    for span in order.spans:
        turns = span.half_turns.tolist()
        braids.append(after(braids[-1], span.word, [turns[unit] for unit in ranks]))
    return braids

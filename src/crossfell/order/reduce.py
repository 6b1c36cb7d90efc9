"""Which crossings of a word undo each other?

A handle is a crossing at i, later undone at i, with only crossings further right in between that
do not hold it. Reducing handles one after another ends, and ends empty exactly when the word is
the untouched braid. Source: P. Dehornoy, A fast method for comparing braids, Adv. Math. 125
(1997). The word that is left is equal to the first one, usually shorter, not proved shortest.
"""

from __future__ import annotations

from collections.abc import Sequence

from crossfell.order.braid import braid_of

MOST_STEPS = 20_000


def reduced(word: Sequence[int], *, most_steps: int = MOST_STEPS) -> tuple[int, ...] | None:
    """An equal word without handles; None when `most_steps` reductions were not enough."""
    letters = list(word)
    looked = 0  # no handle closes before here
    for _ in range(most_steps):
        handle = _first_handle(letters, looked)
        if handle is None:
            return tuple(letters)
        first, last = handle
        letters[first : last + 1] = _opened(letters[first : last + 1])
        looked = first
    return None


def _first_handle(letters: Sequence[int], start: int) -> tuple[int, int] | None:
    """The handle that closes first from `start` on; it has no other handle inside."""
    for last in range(start, len(letters)):
        letter = letters[last]
        for first in range(last - 1, -1, -1):
            if letters[first] == -letter:
                return first, last
            if abs(letters[first]) in {abs(letter), abs(letter) - 1}:
                break
    return None


def _opened(handle: Sequence[int]) -> list[int]:
    """The handle with its first and last crossing gone: what it held passes round them."""
    sign = 1 if handle[0] > 0 else -1
    at = abs(handle[0])
    out: list[int] = []
    for letter in handle[1:-1]:
        if abs(letter) == at + 1:
            way = 1 if letter > 0 else -1
            out += [-sign * (at + 1), way * at, sign * (at + 1)]
        else:
            out.append(letter)
    return out


def undo_each_other(word: Sequence[int], first: int, second: int, n: int) -> bool:
    """Whether crossings `first` and `second` (indices) can both be left out and nothing changes.

    Exact: the word between is compared with and without them.
    """
    between = word[first + 1 : second]
    if word[first] * word[second] >= 0:
        return False
    return braid_of(n, word[first : second + 1]).coordinates == braid_of(n, between).coordinates

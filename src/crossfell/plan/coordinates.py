"""Are two words of crossings the same braid?

A braid acts on laminations of the punctured disc; their Dynnikov coordinates are 2n integers, and
two words are the same braid exactly when they take (0, 1, 0, 1, …) to the same coordinates.
Source: Dehornoy, Dynnikov, Rolfsen, Wiest, Ordering Braids (2008), chapter XII; the formulas are
from memory. Checked: the braid relations, and Artin's faithful action on the free group (Artin,
Theory of Braids, 1947), in tests/plan/test_coordinates.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def coordinates_of(n: int, word: Iterable[int]) -> tuple[int, ...]:
    """Coordinates (a1, b1, …, an, bn) of a word of signed generators on n strands.

    Whole numbers of any size: they grow by up to 0.7 bit for each letter, so no array holds them.
    """
    a, b = [0] * n, [1] * n
    for letter in word:
        i = abs(letter) - 1
        j = i + 1
        x1, y1, x2, y2 = a[i], b[i], a[j], b[j]
        up1, down1, up2, down2 = max(y1, 0), min(y1, 0), max(y2, 0), min(y2, 0)
        if letter > 0:
            z = x1 - down1 - x2 + up2
            a[i], b[i] = x1 + up1 + max(up2 - z, 0), y2 - max(z, 0)
            a[j], b[j] = x2 + down2 + min(down1 + z, 0), y1 + max(z, 0)
        else:
            z = x1 + down1 - x2 - up2
            a[i], b[i] = x1 - up1 - max(up2 + z, 0), y2 + min(z, 0)
            a[j], b[j] = x2 - down2 - min(down1 - z, 0), y1 - min(z, 0)
    return tuple(value for pair in zip(a, b, strict=True) for value in pair)


def inverse_of(word: Sequence[int]) -> list[int]:
    """The word that undoes a word."""
    return [-letter for letter in reversed(word)]


def same_braid(n: int, one: Iterable[int], other: Iterable[int]) -> bool:
    """Whether two words on n strands are the same braid."""
    return coordinates_of(n, one) == coordinates_of(n, other)

"""How is a long text told to a window that has the text before it? As the one stretch that changed.

Places are counted as browsers count them, in UTF-16 units (ECMA-262, 6.1.4).
"""

from __future__ import annotations

from collections.abc import Callable

Splice = tuple[int, int, str]  # from, to in the old text; what stands there now


def splice_of(old: str, new: str) -> Splice:
    """The stretch of `old` that has to be replaced to get `new`."""
    most = min(len(old), len(new))
    head = _most(most, lambda n: old[:n] == new[:n])
    tail = _most(most - head, lambda n: n == 0 or old[-n:] == new[-n:])
    start = _units(old[:head])
    return start, start + _units(old[head : len(old) - tail]), new[head : len(new) - tail]


def _most(most: int, alike: Callable[[int], bool]) -> int:
    """The largest number up to `most` for which two ends are alike; alike for all below it."""
    low, high = 0, most
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if alike(middle) else (low, middle - 1)
    return low


def _units(text: str) -> int:
    return len(text) if text.isascii() else len(text.encode("utf-16-le", "surrogatepass")) // 2

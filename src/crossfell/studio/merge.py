"""Two people changed one text: what is the text with both changes, or where do they disagree?

Lines that both kept hold the texts together. Between them, what only one side changed is taken
from that side; what both changed alike is taken once; anything else is a disagreement.
Source: the three-way merge as described by S. Khanna, K. Kunal, B. C. Pierce, A formal
investigation of Diff3 (2007). Checked: tests/outside/test_merging.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher


@dataclass(frozen=True, slots=True)
class Merged:
    """The text with both changes; `agreed` is False when it could not be made."""

    text: str
    agreed: bool


def merged(base: str, mine: str, theirs: str) -> Merged:
    """Merge two texts that both came from `base`."""
    if mine in {base, theirs}:
        return Merged(theirs, agreed=True)
    if theirs == base:
        return Merged(mine, agreed=True)
    a, b, c = (text.splitlines(keepends=True) for text in (base, mine, theirs))
    out: list[str] = []
    at_a = at_b = at_c = 0
    for start, in_b, in_c, length in [*_kept(a, b, c), (len(a), len(b), len(c), 0)]:
        part = _between(a[at_a:start], b[at_b:in_b], c[at_c:in_c])
        if part is None:
            return Merged(mine, agreed=False)
        out += part + a[start : start + length]
        at_a, at_b, at_c = start + length, in_b + length, in_c + length
    return Merged("".join(out), agreed=True)


def _between(base: Sequence[str], mine: Sequence[str], theirs: Sequence[str]) -> list[str] | None:
    if mine in (base, theirs):
        return list(theirs)
    return list(mine) if theirs == base else None


def _kept(
    base: Sequence[str], mine: Sequence[str], theirs: Sequence[str]
) -> list[tuple[int, int, int, int]]:
    """Runs of base lines that both kept: start in each of the three, length; in order."""
    one, two = _matches(base, mine), _matches(base, theirs)
    runs, i, j = [], 0, 0
    while i < len(one) and j < len(two):
        (a, in_b, length), (d, in_c, other) = one[i], two[j]
        start, end = max(a, d), min(a + length, d + other)
        if start < end:
            runs.append((start, in_b + start - a, in_c + start - d, end - start))
        if a + length < d + other:
            i += 1
        else:
            j += 1
    return runs


def _matches(base: Sequence[str], other: Sequence[str]) -> list[tuple[int, int, int]]:
    """Runs of lines that both have. What is alike at both ends is not searched again."""
    most = min(len(base), len(other))
    head = next((k for k in range(most) if base[k] != other[k]), most)
    most -= head
    tail = next((k for k in range(most) if base[-1 - k] != other[-1 - k]), most)
    inner = SequenceMatcher(
        None, base[head : len(base) - tail], other[head : len(other) - tail], autojunk=False
    )
    middle = [(a + head, b + head, n) for a, b, n in inner.get_matching_blocks() if n]
    last = [(len(base) - tail, len(other) - tail, tail)] if tail else []
    return [*([(0, 0, head)] if head else []), *middle, *last]

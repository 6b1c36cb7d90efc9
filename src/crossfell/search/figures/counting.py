"""Which figures of a size are essentially different, and which have a symmetry?

A figure is a run of k spans that ends as it began (closed), or left and right exchanged (mirrored):
laid again and again it repeats. Figures are the same that differ only by where they begin, or by
being mirrored, turned upside down, or over for under: 8 views × k beginnings. A figure is one whole
number in base S; its form is the least of all its views. Places first, then over and under.
Source: derived. Checked: Burnside's count and brute force, tests/search/figures.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np

from crossfell.search.figures.spans import Ints, Places, Spans

MOST = 6_000_000  # sequences looked at in one count
MOST_PLACES = 40_000  # runs of places, over and under left out
Ends = str  # "closed"; "mirrored"; "mirrored here": begun nowhere else, as it is laid once


@dataclass(frozen=True)
class Figures:
    """The essentially different figures of a size."""

    spans: Spans
    rows: Ints  # [figures, k] numbers of spans
    symmetric: Ints  # [figures] how many views (of 8) leave it as it is, itself not counted


class TooManyError(Exception):
    """More figures than can be looked at."""


def figures_of(spans: Spans, k: int, ends: Ends = "closed") -> Figures:
    """All figures of k spans that join all places and repeat no shorter one.

    Errors: TooManyError.
    """
    found, seen = [], 0
    for way in _place_forms(spans, k, ends):
        signs = [np.flatnonzero(spans.way == w) for w in way]
        seen += int(np.prod([len(part) for part in signs]))
        if seen > MOST:
            raise TooManyError(f"more than {MOST} sequences")
        grid = np.meshgrid(*signs, indexing="ij")
        found.append(np.stack([part.ravel() for part in grid], axis=1))
    rows = np.concatenate(found) if found else np.empty((0, k), dtype=np.int64)
    forms = np.unique(_code(form_of(spans, rows, ends), len(spans.to)))
    rows = _decode(forms, len(spans.to), k)
    rows = rows[_primitive(spans, rows, ends)]
    return Figures(spans, rows, symmetries(spans, rows, ends))


def views(spans: Spans, rows: Ints) -> Iterator[Ints]:
    """The 8 views of figures [figures, k], itself first."""
    for mirror, turn, other in product((False, True), repeat=3):
        seen = rows
        if turn:
            seen = spans.inverse[seen[:, ::-1]]
        if mirror:
            seen = spans.mirrored[seen]
        if other:
            seen = spans.reversed[seen]
        yield seen


def starts(spans: Spans, rows: Ints, ends: Ends) -> Iterator[Ints]:
    """Figures [figures, k] begun at each of their spans; what went before follows at the end."""
    for by in range(1 if ends == "mirrored here" else rows.shape[1]):
        before = rows[:, :by]
        if ends == "mirrored":
            before = spans.mirrored[before]
        yield np.concatenate((rows[:, by:], before), axis=1)


def form_of(spans: Spans, rows: Ints, ends: Ends = "closed") -> Ints:
    """The form of figures [figures, k]: the least of all views and beginnings."""
    base = len(spans.to)
    least = _code(rows, base)
    for seen in views(spans, rows):
        for begun in starts(spans, seen, ends):
            least = np.minimum(least, _code(begun, base))
    return _decode(least, base, rows.shape[1])


def symmetries(spans: Spans, rows: Ints, ends: Ends = "closed") -> Ints:
    """How many views beside itself leave each figure [figures, k] as it is."""
    base, count = len(spans.to), np.zeros(len(rows), dtype=np.int64)
    own = _code(rows, base)
    for number, seen in enumerate(views(spans, rows)):
        if number:
            same = np.zeros(len(rows), dtype=bool)
            for begun in starts(spans, seen, ends):
                same |= _code(begun, base) == own
            count += same
    return count


def _primitive(spans: Spans, rows: Ints, ends: Ends) -> Ints:
    """Which figures repeat no shorter one."""
    whole = np.ones(len(rows), dtype=bool)
    for by, begun in enumerate(starts(spans, rows, ends)):
        if by:
            whole &= (begun != rows).any(axis=1)
    return np.flatnonzero(whole)


def _place_forms(spans: Spans, k: int, ends: Ends) -> list[tuple[int, ...]]:
    """Runs of k permutations, one for each form, that end as asked and join all places.

    Two halves whose products fit are joined.
    """
    ways = spans.ways
    n = spans.places
    home = tuple(range(n)) if ends == "closed" else tuple(reversed(range(n)))
    first, second = k // 2, k - k // 2
    later: dict[Places, list[tuple[int, ...]]] = {}
    for run in product(range(len(ways)), repeat=second):
        later.setdefault(_through(ways, run, n), []).append(run)
    rows = []
    for run in product(range(len(ways)), repeat=first):
        so_far = _through(ways, run, n)
        want = [0] * n
        for at, to in enumerate(so_far):
            want[to] = home[at]
        rows += [run + more for more in later.get(tuple(want), ())]
        if len(rows) > MOST_PLACES:
            raise TooManyError(f"more than {MOST_PLACES} runs of places")
    kept = [row for row in rows if _joined(ways, row, n)]
    return sorted(set(map(tuple, _form_of_ways(spans, kept, ends))))


def _through(ways: tuple[Places, ...], run: tuple[int, ...], n: int) -> Places:
    """Where the unit at each place is after a run of permutations."""
    at = tuple(range(n))
    for way in run:
        at = tuple(ways[way][place] for place in at)
    return at


def _joined(ways: tuple[Places, ...], run: tuple[int, ...], n: int) -> bool:
    """Whether no line between two places is never crossed."""
    return all(any(max(ways[way][:cut]) >= cut for way in run) for cut in range(1, n))


def _form_of_ways(spans: Spans, rows: list[tuple[int, ...]], ends: Ends) -> list[list[int]]:
    """The form of runs of permutations, over and under left out."""
    if not rows:
        return []
    one = np.zeros(len(spans.ways), dtype=np.int64)
    one[spans.way] = np.arange(len(spans.way))  # a span of each permutation
    bare = Spans(spans.places, spans.ways, (), np.arange(len(one)), spans.ways,
                 spans.way[spans.mirrored[one]], spans.way[spans.inverse[one]],
                 np.arange(len(one)))  # fmt: skip
    made: list[list[int]] = form_of(bare, np.array(rows, dtype=np.int64), ends).tolist()
    return made


def _code(rows: Ints, base: int) -> Ints:
    code = np.zeros(len(rows), dtype=np.int64)
    for column in rows.T:
        code = code * base + column
    return code


def _decode(codes: Ints, base: int, k: int) -> Ints:
    out = np.empty((len(codes), k), dtype=np.int64)
    for at in range(k - 1, -1, -1):
        codes, out[:, at] = np.divmod(codes, base)
    return out

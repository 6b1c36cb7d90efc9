"""Which linear program says how near her units can come to what is asked?

Variables N_c(x, t): how many units of colour c lie in places 1..x at band t. A cell's share is the
difference of two; units of one colour keep their order, so a reach r says
N_c(x - r, t + 1) ≤ N_c(x, t) ≤ N_c(x + r, t + 1). Least is Σ weight |N - Q| (Q: `Ask.sums`; between
two whole numbers the chord, so that whole numbers cost what they are), + easy × places moved,
+ smooth × change of course. Bands outside the range that is solved stand as they are.
Source: derived. Checked: arc flow on HiGHS, tests/search/sketch and bench/sketch.py.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crossfell.search.sketch.asked import Ask, Floats, Ints

NEVER = np.inf


@dataclass(frozen=True, kw_only=True)
class Taste:
    """What counts beside likeness, in cells."""

    easy: float = 0.05  # of one place moved
    smooth: float = 0.0  # of a change of course by one place


@dataclass(frozen=True, kw_only=True)
class Program:
    """A linear program: least cost · v with rows of a matrix between bounds."""

    cost: Floats
    low: Floats
    high: Floats
    row_low: Floats
    row_high: Floats
    start: NDArray[np.int32]
    index: NDArray[np.int32]
    value: Floats
    constant: float
    shape: tuple[int, int, int]  # bands, colours, inner places: the first variables are N


@dataclass
class _Table:
    """A program being written: columns and rows are added in blocks."""

    cost: list[Floats] = field(default_factory=list)
    low: list[Floats] = field(default_factory=list)
    high: list[Floats] = field(default_factory=list)
    rows: list[tuple[Any, Any, Any, Any]] = field(default_factory=list)
    columns: int = 0
    constant: float = 0.0

    def column(self, shape: tuple[int, ...], cost: Any, low: Any, high: Any) -> Ints:
        """Add a block of columns; their numbers in its shape."""
        for part, value in ((self.cost, cost), (self.low, low), (self.high, high)):
            part.append(np.broadcast_to(np.asarray(value, dtype=float), shape).ravel())
        size = int(np.prod(shape))
        self.columns += size
        return np.arange(self.columns - size, self.columns).reshape(shape)

    def row(self, terms: list[tuple[float, Any]], low: Any, high: Any) -> None:
        """Add a block of rows Σ factor × column, between bounds; one term for each factor."""
        index = np.stack([np.asarray(columns).ravel() for _, columns in terms], axis=1)
        factor = np.broadcast_to([factor for factor, _ in terms], index.shape)
        least, most = (
            np.broadcast_to(np.asarray(b, dtype=float).ravel(), len(index)) for b in (low, high)
        )
        if len(index):
            self.rows.append((index, factor, least, most))


def program(
    ask: Ask, taste: Taste, first: int, last: int, standing: Ints | None, around: int | None = None
) -> Program:
    """The program of bands first to last - 1.

    standing [T, K, n + 1] counts as they stand, wanted unless every band is solved; around: look
    only so far from them.
    """
    bands, colours, places = ask.shape
    table, inner = _Table(), places - 1
    counts = np.array(ask.counts)
    x = np.arange(1, places)
    floor = np.maximum(0, x - (places - counts[:, None]))[None]
    ceiling = np.minimum(counts[:, None], x)[None]
    if standing is not None and around is not None:
        near = standing[first:last, :, 1:-1]
        floor, ceiling = np.maximum(floor, near - around), np.minimum(ceiling, near + around)
    n = table.column((last - first, colours, inner), 0.0, floor, ceiling)
    _cells(table, n, x, counts)
    _likeness(table, n, ask, first, last)
    limited = [c for c in range(colours) if not ask.free[c]]
    before = first - 1 if first else None
    after = last if last < bands else None
    _reach(table, n[:, limited], ask.reach)
    _fixed_reach(table, n, ask, standing, before, after, limited)
    if taste.easy:
        _moves(table, n, taste.easy, standing, before, after, limited)
    if taste.smooth:
        _courses(table, n, taste.smooth, standing, (first, last, bands), limited)
    return _closed(table, n.shape)


def _cells(table: _Table, n: Ints, x: Ints, counts: Ints) -> None:
    """Each cell holds 0 to 1 of a colour, and one unit in all."""
    table.row([(1.0, n[:, :, 1:]), (-1.0, n[:, :, :-1])], 0.0, 1.0)
    table.row([(1.0, n[:, c]) for c in range(len(counts))], np.tile(x, len(n)), np.tile(x, len(n)))


def _likeness(table: _Table, n: Ints, ask: Ask, first: int, last: int) -> None:
    asked = ask.sums[first:last, :, 1:-1]
    weight = np.broadcast_to(ask.weight[first:last, None, 1:-1], asked.shape)
    matters = weight > 0
    floor = np.floor(asked)
    part, weight, n = (asked - floor)[matters], weight[matters], n[matters]
    chord = table.column(n.shape, weight * (1 - 2 * part), 0.0, 1.0)
    above = table.column(n.shape, weight, 0.0, NEVER)
    below = table.column(n.shape, weight, 0.0, NEVER)
    table.row(
        [(1.0, n), (-1.0, chord), (-1.0, above), (1.0, below)], floor[matters], floor[matters]
    )
    table.constant += float((weight * part).sum())


def _reach(table: _Table, n: Ints, reach: int) -> None:
    inner = n.shape[2]
    if reach < inner and len(n) > 1:
        table.row([(1.0, n[:-1, :, reach:]), (-1.0, n[1:, :, : inner - reach])], 0.0, NEVER)
        table.row([(1.0, n[1:, :, reach:]), (-1.0, n[:-1, :, : inner - reach])], 0.0, NEVER)


def _fixed_reach(
    table: _Table, n: Ints, ask: Ask, standing: Ints | None, before: int | None, after: int | None,
    limited: list[int],
) -> None:  # fmt: skip
    """Bands that stand as they are bound their neighbours."""
    if standing is None:
        return
    low, high = table.low[0].reshape(n.shape), table.high[0].reshape(n.shape)
    low, high = low.copy(), high.copy()
    places = np.arange(1, n.shape[2] + 1)
    for at, band in ((0, before), (-1, after)):
        if band is not None:
            there = standing[band][limited]
            least = there[:, np.maximum(places - ask.reach, 0)]
            most = there[:, np.minimum(places + ask.reach, there.shape[1] - 1)]
            low[at, limited] = np.maximum(low[at, limited], least)
            high[at, limited] = np.minimum(high[at, limited], most)
    table.low[0], table.high[0] = low.ravel(), high.ravel()


def _moves(
    table: _Table, n: Ints, easy: float, standing: Ints | None, before: int | None,
    after: int | None, limited: list[int],
) -> None:  # fmt: skip
    """Σ |N(t + 1) - N(t)| is the number of places moved."""
    n = n[:, limited]
    if len(n) > 1:
        _apart(table, [(1.0, n[1:]), (-1.0, n[:-1])], 0.0, easy)
    for at, band in ((0, before), (-1, after)):
        if band is not None and standing is not None:
            _apart(table, [(1.0, n[at])], standing[band][limited, 1:-1], easy)


def _courses(
    table: _Table, n: Ints, smooth: float, standing: Ints | None, where: tuple[int, int, int],
    limited: list[int],
) -> None:  # fmt: skip
    """Σ |N(t + 1) - 2 N(t) + N(t - 1)|, bands that stand still among them."""
    first, last, bands = where
    for t in range(max(first - 1, 1), min(last + 1, bands - 1)):
        terms: list[tuple[float, Any]] = []
        rest: Any = np.zeros((len(limited), n.shape[2]))
        for factor, band in ((1.0, t - 1), (-2.0, t), (1.0, t + 1)):
            if first <= band < last:
                terms.append((factor, n[band - first, limited]))
            elif standing is not None:
                rest = rest - factor * standing[band][limited, 1:-1]
        _apart(table, terms, rest, smooth)


def _apart(table: _Table, terms: list[tuple[float, Any]], wanted: Any, price: float) -> None:
    """Pay for the distance of Σ terms from what is wanted."""
    shape = np.asarray(terms[0][1]).shape
    more, less = (table.column(shape, price, 0.0, NEVER) for _ in range(2))
    rest = np.broadcast_to(np.asarray(wanted, dtype=float), shape)
    table.row([*terms, (-1.0, more), (1.0, less)], rest, rest)


def _closed(table: _Table, shape: tuple[int, ...]) -> Program:
    lengths = np.concatenate([np.full(len(index), index.shape[1]) for index, *_ in table.rows])
    return Program(
        cost=np.concatenate(table.cost),
        low=np.concatenate(table.low),
        high=np.concatenate(table.high),
        row_low=np.concatenate([row[2] for row in table.rows]),
        row_high=np.concatenate([row[3] for row in table.rows]),
        start=np.concatenate(([0], lengths.cumsum())).astype(np.int32),
        index=np.concatenate([row[0].ravel() for row in table.rows]).astype(np.int32),
        value=np.concatenate([row[1].ravel() for row in table.rows]),
        constant=table.constant,
        shape=(shape[0], shape[1], shape[2]),
    )


def counts_of(shown: Ints, colours: int) -> Ints:
    """Counts N [T, K, n + 1] of a grid of colours [T, n]."""
    here = shown[:, None, :] == np.arange(colours)[None, :, None]
    sums = here.cumsum(axis=2)
    return np.concatenate((np.zeros((*sums.shape[:2], 1), dtype=np.int64), sums), axis=2)


def shown_of(counts: Ints) -> Ints:
    """The grid of colours [T, n] of whole counts [T, K, n + 1]."""
    shown: Ints = np.diff(counts, axis=2).argmax(axis=1)
    return shown


def price_of(ask: Ask, taste: Taste, counts: Ints) -> float:
    """What whole counts [T, K, n + 1] cost, as the program counts it."""
    price = float((ask.weight[:, None] * np.abs(counts - ask.sums)).sum())
    bound = counts[:, [not free for free in ask.free]]
    price += taste.easy * float(np.abs(np.diff(bound, axis=0)).sum())
    return price + taste.smooth * float(np.abs(np.diff(bound, n=2, axis=0)).sum())

"""Which figures are worth looking at first, and which of them differ?

Each figure has a few numbers that she can see: how far over and under alternate along its units,
how open it is, how rich (crossings), how easy (strips lifted), how its spans differ. They are
looked up for each span once and added along the figure.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.order.antichain import antichain_of
from crossfell.order.relation import closure_of, layers_of, rows_of
from crossfell.search.figures.counting import Figures
from crossfell.search.figures.spans import Ints, Spans, crossings

Floats = NDArray[np.float64]
LOOKS = ("alternating", "open", "dense", "easy", "rich", "symmetric")
MOST = 4_000  # of the best, among which those that differ are chosen
WIDE, HIGH = 8, 24  # points of one place and of one span at which openness is looked at
COVER = 0.9  # of a place that its unit covers
NEAR = 0.35  # below this distance of their numbers two figures look alike


@dataclass(frozen=True)
class FigureNumbers:
    """What is seen of figures, each [figures], from 0 to 1."""

    alternating: Floats
    open: Floats
    rich: Floats
    easy: Floats
    distinct: Floats
    symmetric: Floats

    @property
    def all(self) -> Floats:
        """Every number of every figure [figures, 6]."""
        parts = (self.alternating, self.open, self.rich, self.easy, self.distinct, self.symmetric)
        return np.stack(parts, axis=1)


def seen(figures: Figures) -> FigureNumbers:
    """What is seen of each figure."""
    spans, rows = figures.spans, figures.rows
    n = spans.places
    pairs = n * (n - 1) / 2
    crossed = np.array([len(over) for over in spans.over]) / pairs
    lifted = np.array([lifts(spans, s) for s in range(len(spans.over))]) / n
    clear = np.array([openness(way) for way in spans.ways])[spans.way]
    ordered = np.sort(rows, axis=1)
    different = 1 + (np.diff(ordered, axis=1) != 0).sum(axis=1)
    return FigureNumbers(
        alternating=alternation(spans, rows),
        open=clear[rows].mean(axis=1),
        rich=crossed[rows].mean(axis=1),
        easy=1 - lifted[rows].mean(axis=1),
        distinct=different / rows.shape[1],
        symmetric=figures.symmetric / 7,
    )


def lifts(spans: Spans, number: int) -> int:
    """Strips lifted in a span: all but the most that may stay (docs/order-and-plan.md)."""
    over = sorted(spans.over[number])
    rows = rows_of(spans.places, [a for a, _ in over], [b for _, b in over])
    layers = layers_of(spans.places, rows)
    if layers is None:
        raise AssertionError("a span of a figure can be laid by construction")
    return spans.places - len(antichain_of(closure_of(layers, rows)))


def openness(way: tuple[int, ...]) -> float:
    """Share of a span through which the wall is seen; units run straight."""
    x = (np.arange(len(way) * WIDE) + 0.5) / WIDE - 0.5
    at = (np.arange(HIGH) + 0.5) / HIGH
    start, end = np.arange(len(way)), np.array(way)
    middle = start[:, None] + (end - start)[:, None] * at
    covered = (np.abs(x - middle[:, :, None]) < COVER / 2).any(axis=0)
    return float(1 - covered.mean())


def alternation(spans: Spans, rows: Ints) -> Floats:
    """Share of steps along units from over to under or back, of all from one span to the next.

    A unit is over in a span when it passes over more than it passes under.
    """
    n = spans.places
    mark = np.zeros((len(spans.over), n), dtype=np.int64)
    for s, over in enumerate(spans.over):
        for a, b in over:
            mark[s, a] += 1
            mark[s, b] -= 1
    mark, to = np.sign(mark), np.array(spans.to)
    at = np.tile(np.arange(n), (len(rows), 1))
    last = np.zeros_like(at)
    steps, turns = np.zeros(len(rows)), np.zeros(len(rows))
    for column in np.concatenate((rows, rows), axis=1).T:  # laid twice: across the joint too
        here = np.take_along_axis(mark[column], at, axis=1)
        both = (here != 0) & (last != 0)
        steps += both.sum(axis=1)
        turns += (both & (here != last)).sum(axis=1)
        last = np.where(here != 0, here, last)
        at = np.take_along_axis(to[column], at, axis=1)
    return turns / np.maximum(steps, 1)


def score(found: FigureNumbers, look: str = "") -> Floats:
    """How worth looking at [figures]: alternating and different spans, then what she asks for."""
    base = 1.2 * found.alternating + 0.5 * found.distinct + 0.4 * found.easy + 0.4 * found.symmetric
    wish = {
        "open": found.open, "dense": -found.open, "easy": found.easy, "rich": found.rich,
        "alternating": found.alternating, "symmetric": found.symmetric,
    }  # fmt: skip
    if not look:
        return base
    asked: Floats = wish[look] - wish[look].min()
    worth: Floats = base + 4 * asked / max(float(asked.max()), 1e-9)
    return worth


def chosen(figures: Figures, count: int, look: str = "", like: int | None = None) -> list[int]:
    """Numbers of figures to show: the best that differ from those before them.

    like: the number of a figure; those that look most like it come first.
    """
    found = seen(figures)
    worth = score(found, look)
    looks = np.concatenate((found.all, _profile(figures)), axis=1)
    if like is not None:
        worth = -np.abs(looks - looks[like]).mean(axis=1)
    best = np.argsort(-worth, kind="stable")[:MOST]
    worth, looks = worth[best].copy(), looks[best]
    ways = np.sort(figures.spans.way[figures.rows[best]], axis=1)
    taken: list[int] = []
    for _ in range(min(count, len(best))):
        k = int(np.argmax(worth))
        taken.append(int(best[k]))
        near = np.abs(looks - looks[k]).mean(axis=1) / NEAR
        if like is None:
            worth -= np.clip(1 - near, 0, None) + (ways == ways[k]).all(axis=1)
        worth[k] = -np.inf
    return taken


def _profile(figures: Figures) -> Floats:
    """How often each two neighbours change sides, sorted so that a view does not matter."""
    spans = figures.spans
    table = np.zeros((len(spans.ways), spans.places - 1))
    for k, way in enumerate(spans.ways):
        for a, b in crossings(way):
            table[k, a:b] += 1 / (b - a)
    sums = table[spans.way][figures.rows].sum(axis=1)
    found: Floats = np.sort(sums, axis=1) / np.maximum(sums.sum(axis=1, keepdims=True), 1e-9)
    return found

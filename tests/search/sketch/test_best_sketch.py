"""Is the best sketch the best? Against every sketch there is, and the plain model on HiGHS.

Arc flow: each colour is a flow of its units from place to place, at most `reach` aside; a cell holds
one unit. Source: derived from what units can do, without our sums. Tolerance 1e-6: HiGHS's own.
"""

from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from scipy.optimize import linprog
from scipy.sparse import coo_array
from test_what_is_asked import ask_for, asks

from crossfell.search.sketch.program import Taste, counts_of, price_of, shown_of
from crossfell.search.sketch.solving import at_once, in_windows, solved

ALWAYS = lambda *_: True  # noqa: E731


def arc_flow(ask, taste):
    """The relaxed optimum of the plain model: arcs (colour, band, from, to)."""
    bands, colours, places = ask.shape
    cost, most, equal, below = [], [], [], []

    def variable(price, high=1.0):
        cost.append(price)
        most.append(high)
        return len(cost) - 1

    cell = {key: variable(0) for key in product(range(bands), range(colours), range(places))}
    for t, c in product(range(bands - 1), range(colours)):
        pairs = [(a, b) for a, b in product(range(places), repeat=2) if abs(a - b) <= ask.reach]
        arcs = {(a, b): variable(taste.easy * abs(a - b)) for a, b in pairs}
        for x in range(places):
            equal.append(({k: 1 for (a, _), k in arcs.items() if a == x} | {cell[t, c, x]: -1}, 0))
            equal.append(
                ({k: 1 for (_, b), k in arcs.items() if b == x} | {cell[t + 1, c, x]: -1}, 0)
            )
    for t, x in product(range(bands), range(places)):
        equal.append(({cell[t, c, x]: 1 for c in range(colours)}, 1))
    for t, c in product(range(bands), range(colours)):
        equal.append(({cell[t, c, x]: 1 for x in range(places)}, ask.counts[c]))
        for x in range(1, places):
            q = ask.sums[t, c, x]
            floor = np.floor(q)
            slope = 1 - 2 * (q - floor)
            apart = variable(ask.weight[t, x], np.inf)
            for factor, rest in ((1, -q), (-1, q), (slope, q - floor - slope * floor)):
                row = dict.fromkeys((cell[t, c, y] for y in range(x)), factor)
                below.append((row | {apart: -1}, -rest))
    matrices = []
    for rows in (equal, below):
        entries = [(i, k, v) for i, (row, _) in enumerate(rows) for k, v in row.items()]
        i, k, v = zip(*entries, strict=True)
        matrices.append(coo_array((v, (i, k)), shape=(len(rows), len(cost))))
    found = linprog(cost, A_eq=matrices[0], b_eq=[b for _, b in equal], A_ub=matrices[1],
                    b_ub=[b for _, b in below], bounds=[(0, high) for high in most],
                    method="highs")  # fmt: skip
    return found.fun


@settings(max_examples=12, deadline=None)
@given(asks())
def test_the_bound_is_that_of_the_plain_model(ask):
    if any(ask.free):
        return
    taste = Taste(easy=0.1)
    counts = counts_of(solved(ask, taste, ALWAYS).shown, len(ask.counts))
    assert at_once(ask, taste, counts)[1] == pytest.approx(arc_flow(ask, taste), abs=1e-5)


def every_sketch(ask, taste):
    """The least price of all sketches."""
    rows = sorted(set(permutations(np.repeat(np.arange(len(ask.counts)), ask.counts).tolist())))
    best = np.inf
    for grid in product(rows, repeat=ask.shape[0]):
        counts = counts_of(np.array(grid), len(ask.counts))
        places = [
            [np.flatnonzero(np.array(row) == c) for row in grid] for c in range(len(ask.counts))
        ]
        if all(np.abs(np.diff(way, axis=0)).max(initial=0) <= ask.reach for way in places):
            best = min(best, price_of(ask, taste, counts))
    return best


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("smooth", [0.0, 0.3])
def test_no_sketch_is_better_than_the_best(seed, smooth):
    grid = np.random.default_rng(seed).integers(0, 3, (3, 5))
    ask, taste = ask_for(grid, [2, 2, 1], reach=1 + seed % 2), Taste(easy=0.1, smooth=smooth)
    answer = solved(ask, taste, ALWAYS)
    least = every_sketch(ask, taste)
    assert answer.bound <= least + 1e-6
    assert answer.price >= least - 1e-9
    if answer.proved:
        assert answer.price == pytest.approx(least, abs=1e-6)


@settings(max_examples=20, deadline=None)
@given(asks())
def test_windows_never_make_it_worse_and_keep_every_promise(ask):
    from crossfell.search.sketch.preview import preview

    before = counts_of(preview(ask), len(ask.counts))
    after, whole = in_windows(ask, Taste(), before, ALWAYS)
    assert whole
    assert price_of(ask, Taste(), after) <= price_of(ask, Taste(), before) + 1e-9
    shown = shown_of(after)
    assert (counts_of(shown, len(ask.counts)) == after).all()
    for c, count in enumerate(ask.counts):
        places = np.array([np.flatnonzero(row == c) for row in shown])
        assert places.shape[1] == count
        assert ask.free[c] or np.abs(np.diff(places, axis=0)).max(initial=0) <= ask.reach


def test_whoever_stops_it_has_what_was_found_so_far():
    ask = ask_for(np.random.default_rng(2).integers(0, 3, (30, 12)), [5, 4, 3])
    heard = []
    answer = solved(ask, Taste(), lambda *said: heard.append(said) or len(heard) < 3)
    assert len(heard) == 3
    assert answer.bound is None
    assert not answer.proved
    assert answer.price > solved(ask, Taste(), ALWAYS).price

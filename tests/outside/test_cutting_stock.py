"""Rods and strips are cut with the fewest bars: published optima, and plans by construction."""

import math
from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from crossfell.plan.cutting import cut

# The example of the article "Cutting stock problem" of Wikipedia (a paper machine), optimum 73.
PAPER = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20,
    2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip
# P. C. Gilmore and R. E. Gomory's well known small instance (V. Chvátal, Linear Programming,
# 1983, chapter 13): LP value 452.25, so 453 bars are least.
CHVATAL = {45: 97, 36: 610, 31: 395, 14: 211}


def pieces_of(demand):
    return [float(size) for size, count in demand.items() for _ in range(count)]


def assert_cut(plan, pieces):
    """Every piece is cut once, and no bar gives more than it has."""
    cut_out = Counter(p for bar in plan.bars for p in bar.pieces for _ in range(bar.times))
    assert cut_out == Counter(pieces)
    for bar in plan.bars:
        need = math.fsum(bar.pieces) + plan.kerf_mm * len(bar.pieces)
        assert need <= bar.stock_mm + plan.kerf_mm + 1e-6


@pytest.mark.parametrize(("demand", "stock", "least"), [(PAPER, 5600.0, 73), (CHVATAL, 100.0, 453)])
def test_published_optima_are_reached_and_proved(demand, stock, least):
    pieces = pieces_of(demand)
    plan = cut(pieces, stock)
    assert_cut(plan, pieces)
    assert (plan.bought, plan.bound, plan.proved) == (least, least, True)


def test_kerf_is_added_to_each_piece_and_once_to_the_bar():
    pieces = pieces_of({622: 7, 412: 9, 302: 4})
    plan = cut(pieces, 2000.0, kerf_mm=2.0)
    assert_cut(plan, pieces)
    assert (plan.bought, plan.proved) == (5, True)


@settings(max_examples=15, deadline=None)
@given(st.lists(st.sets(st.integers(1, 39), min_size=1, max_size=4), min_size=1, max_size=6))
def test_full_bars_cut_up_and_shuffled_are_found_again(cuts):
    bars = [sorted({0, *at, 40}) for at in cuts]
    pieces = [25.0 * (b - a) for bar in bars for a, b in pairwise(bar)]
    plan = cut(sorted(pieces), 1000.0)
    assert_cut(plan, pieces)
    assert (plan.bought, plan.proved) == (len(bars), True)


@settings(max_examples=10, deadline=None, phases=[Phase.generate])
@given(st.lists(st.lists(st.integers(1, 9), min_size=2, max_size=5), min_size=1, max_size=5))
def test_awkward_lengths_without_waste_are_never_said_to_need_more_than_they_do(bars):
    """The hardest there are: every length another, nothing left over."""
    pieces = [share * 1000.0 / sum(bar) for bar in bars for share in bar]
    plan = cut(sorted(pieces), 1000.0)
    assert_cut(plan, pieces)
    assert plan.bound <= len(bars) <= plan.bought
    assert plan.proved == (plan.bought == plan.bound)


def test_the_solver_prints_nothing_between_our_lines(capfd):
    cut(pieces_of(CHVATAL), 100.0)
    assert capfd.readouterr() == ("", "")

"""Rods and strips are cut with the fewest bars: published optima, and plans by construction."""

import math
import random
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


def shuffled(seed, bars, stock, grid, most):
    """Pieces of full bars, cut at random on a grid: nothing is left over."""
    chance, pieces = random.Random(seed), []
    for _ in range(bars):
        at = sorted({0, grid, *chance.sample(range(1, grid), chance.randint(2, most))})
        pieces += [stock * (b - a) / grid for a, b in pairwise(at)]
    chance.shuffle(pieces)
    return pieces


@pytest.mark.parametrize("grid", [40, 200, 1000, 2000])
@pytest.mark.parametrize(("bars", "most"), [(5, 9), (20, 4), (38, 6), (38, 9)])
def test_any_number_of_full_bars_cut_up_and_shuffled_is_found_again(bars, most, grid):
    pieces = shuffled(bars, bars, 1000.0, grid, most)
    plan = cut(pieces, 1000.0)
    assert_cut(plan, pieces)
    assert (plan.bought, plan.proved) == (bars, True)


@pytest.mark.parametrize("grid", [40, 1000])
def test_two_lengths_sold_and_off_cuts_cut_up_without_waste_are_found_again(grid):
    pieces = shuffled(1, 12, 1000.0, grid, 5) + shuffled(2, 8, 1500.0, grid * 3 // 2, 5)
    plan = cut(pieces, [1000.0, 1500.0])
    assert_cut(plan, pieces)
    assert (plan.bought_mm, plan.proved) == (24_000.0, True)
    plan = cut(pieces, 1000.0, off_cuts={1500.0: 8})
    assert_cut(plan, pieces)
    assert (plan.bought, plan.proved) == (12, True)


# Cut so that no bar can be full: what is least is counted, not only added up from the lengths.
THIRDS = [334.0 + k % 60 for k in range(61)]  # two of these on a bar of 1000, never three
HALVES = [501.0 + k for k in range(30)]  # each wants a bar; only small pieces go with it


@pytest.mark.parametrize(
    ("pieces", "least"), [(THIRDS, 31), (HALVES, 30), (HALVES + [180.0 + k for k in range(40)], 30)]
)
def test_what_is_least_though_every_bar_has_waste_is_found_and_proved(pieces, least):
    plan = cut(pieces, 1000.0)
    assert_cut(plan, pieces)
    assert (plan.bought, plan.proved) == (least, True)


@pytest.mark.parametrize("off_cuts", [{}, {1500.0: 2}])
def test_patterns_are_generated_where_they_are_too_many_to_list(off_cuts):
    """Two lengths sold: the least bought is that of OR-tools (CP-SAT), another solver."""
    chance = random.Random(3)
    pieces = [float(10 * chance.randrange(42, 99)) for _ in range(18)]
    plan = cut(pieces, [2000.0, 2700.0], off_cuts=off_cuts)
    assert_cut(plan, pieces)
    assert plan.bound_mm <= least_bought_mm(pieces, (2000, 2700), off_cuts) == plan.bought_mm


def least_bought_mm(pieces, sold, off_cuts):
    """Every piece is given one bar of those there could be; what is used of the sold ones counts."""
    from ortools.sat.python import cp_model

    model, many = cp_model.CpModel(), math.ceil(sum(pieces) / min(sold)) + 1
    bars = [(length, length) for length in sold for _ in range(many)]
    bars += [(int(length), 0) for length, n in off_cuts.items() for _ in range(n)]
    used = [model.new_bool_var("") for _ in bars]
    lies = [[model.new_bool_var("") for _ in bars] for _ in pieces]
    for row in lies:
        model.add_exactly_one(row)
    for b, (length, _) in enumerate(bars):
        model.add(sum(int(p) * row[b] for p, row in zip(pieces, lies, strict=True))
                  <= length * used[b])  # fmt: skip
    for b in range(1, len(bars)):
        if bars[b] == bars[b - 1]:
            model.add_implication(used[b], used[b - 1])
    model.minimize(sum(cost * on for (_, cost), on in zip(bars, used, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return solver.objective_value


def test_the_solver_prints_nothing_between_our_lines(capfd):
    cut(pieces_of(CHVATAL), 100.0)
    assert capfd.readouterr() == ("", "")

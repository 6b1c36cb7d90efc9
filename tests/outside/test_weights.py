"""Weights over the beam against published capstan problems, an ODE solver and every choice.

Sources: Beer & Johnston, Statics, 10th ed., problem 8.104; an examination answer (two bollards);
the table of e^(μθ) is arithmetic; scipy (BSD-3) integrates Howell's law; exhaustive search.
"""

import itertools
import math
from collections import Counter

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from crossfell.loom.combined import MOST_ON_ONE, combined, hand_out_together
from crossfell.loom.tension import howell_n, slip_ratio
from crossfell.loom.weights import hand_out, spread_of


def test_cable_round_a_bollard():
    """Beer & Johnston 8.104: 80 lb hold 5000 lb over two turns: μ = 0.329."""
    mu = math.log(5000 / 80) / (4 * math.pi)
    assert mu == pytest.approx(0.329, abs=5e-4)
    assert slip_ratio(mu, 4 * math.pi) == pytest.approx(5000 / 80)
    turns = math.log(20000 / 80) / mu / (2 * math.pi)
    assert turns == pytest.approx(2.67, abs=0.005)


def test_rope_round_two_bollards():
    """50 N, two bollards of 5π/3 each, μ = 0.2: 406 N."""
    assert 50 * slip_ratio(0.2, 2 * 5 * math.pi / 3) == pytest.approx(406, abs=0.5)


@pytest.mark.parametrize(
    ("mu", "degrees", "ratio"),
    [(0.1, 90, 1.170), (0.2, 180, 1.874), (0.3, 270, 4.111), (0.4, 360, 12.345)],
)
def test_table_of_ratios(mu, degrees, ratio):
    """e^(μθ), as tabled."""
    assert slip_ratio(mu, math.radians(degrees)) == pytest.approx(ratio, abs=6e-4)


def test_howell_published_form():
    """a 0.3, n 0.9, radius 1 m, 1 N, half a turn: 2.46126; n → 1 tends to the capstan's 2.56633."""
    assert howell_n(np.array(1.0), 0.3, 0.9, 1.0, math.pi) == pytest.approx(2.46126, abs=5e-6)
    assert howell_n(np.array(1.0), 0.3, 1.0, 1.0, math.pi) == pytest.approx(2.56633, abs=5e-6)
    near = howell_n(np.array(1.0), 0.3, 1 - 1e-7, 1.0, math.pi)
    assert near == pytest.approx(2.56633, abs=1e-5)


@pytest.mark.parametrize(("start", "radius", "n"), [(0.2, 0.02, 0.8), (3.0, 0.05, 0.67)])
def test_howell_against_an_ode_solver(start, radius, n):
    """scipy integrates dT/dθ = a (T/r)^n r; both directions of slip."""
    for way in (1, -1):
        solved = solve_ivp(
            lambda _theta, t, way=way: way * 0.2 * (t / radius) ** n * radius,
            (0, 1.2),
            [start],
            rtol=1e-10,
            atol=1e-12,
        )
        own = howell_n(np.array(start), 0.2, n, radius, way * 1.2)
        assert own == pytest.approx(solved.y[0, -1], rel=1e-7)


def spread_by_trying_all(wanted, bobbin, owned):
    masses = [mass for mass, count in owned for _ in range(count)]
    best = math.inf
    for chosen in set(itertools.permutations(masses, len(wanted))):
        share = (np.array(chosen) + bobbin) / wanted
        if share.min() >= 0.5 and share.max() <= 2:
            best = min(best, spread_of(share))
    return best


@given(
    st.lists(st.tuples(st.integers(200, 900), st.integers(10, 60)), min_size=1, max_size=4),
    st.lists(st.tuples(st.integers(100, 900), st.integers(1, 3)), min_size=1, max_size=3),
)
@example([(599, 37)], [(880, 1), (812, 2), (372, 3), (334, 3), (204, 2)])  # fewer shares below one
@example(
    [(587, 46), (278, 15), (784, 27), (763, 33), (429, 28)],
    [(647, 1), (568, 2), (210, 1), (402, 1), (728, 3)],
)  # fewer above
@settings(max_examples=60, deadline=None)
def test_weights_against_every_way_of_handing_them_out(units, owned):
    """No way of handing out the weights has less spread, and none is used twice."""
    wanted, bobbin = (np.array(column, dtype=float) for column in zip(*units, strict=True))
    stock = [(float(mass), count) for mass, count in owned]
    best = spread_by_trying_all(wanted, bobbin, stock)
    handed = hand_out(wanted, bobbin, stock)
    if math.isinf(best):
        assert handed.short > 0
        return
    assert handed.short == 0
    assert handed.spread == pytest.approx(best, rel=1e-9)
    used = Counter(handed.mass_g.tolist())
    there = Counter()
    for mass, count in stock:
        there[mass] += count
    assert all(used[mass] <= there[mass] for mass in used)


def spread_together_by_trying_all(wanted, bobbin, stock):
    masses = [mass for mass, _ in stock]
    ways = [
        parts
        for number in range(1, MOST_ON_ONE + 1)
        for parts in itertools.combinations_with_replacement(masses, number)
    ]
    best = math.inf
    for chosen in itertools.product(ways, repeat=len(wanted)):
        used = Counter(mass for parts in chosen for mass in parts)
        if any(used[mass] > count for mass, count in stock):
            continue
        share = (np.array([sum(parts) for parts in chosen]) + bobbin) / wanted
        if share.min() >= 0.5 and share.max() <= 2:
            best = min(best, spread_of(share))
    return best


@given(
    st.lists(
        st.tuples(st.sampled_from([300, 550, 720]), st.integers(10, 60)), min_size=1, max_size=2
    ),
    st.dictionaries(st.integers(100, 700), st.integers(1, 3), min_size=1, max_size=3),
)
@settings(max_examples=25, deadline=None)
def test_weights_together_against_every_way_of_hanging_them(units, owned):
    wanted, bobbin = (np.array(column, dtype=float) for column in zip(*units, strict=True))
    stock = [(float(mass), count) for mass, count in owned.items()]
    best = spread_together_by_trying_all(wanted, bobbin, stock)
    found = combined(wanted, bobbin, stock)
    if found is None:
        assert math.isinf(best)
        return
    parts = found.parts
    used = Counter(mass for each in parts for mass in each)
    assert all(used[mass] <= count for mass, count in stock)
    share = (np.array([sum(each) for each in parts]) + bobbin) / wanted
    assert spread_of(share) == pytest.approx(best, rel=1e-6)
    assert found.least == pytest.approx(best, rel=1e-6)


def test_two_hundred_and_three_hundred_and_fifty_hang_as_five_hundred_and_fifty():
    wanted, bobbin = np.full(6, 570.0), np.full(6, 20.0)
    handed = hand_out_together(wanted, bobbin, [(200.0, 6), (350.0, 6)])
    assert handed.hung == ((350.0, 200.0),) * 6
    assert handed.said(0) == "350 + 200 g"
    assert (handed.short, handed.spread) == (0, 1.0)
    even = hand_out_together(wanted, bobbin, [(200.0, 6), (350.0, 6), (540.0, 6)])
    assert even.parts == ()  # one each is even enough


@pytest.mark.parametrize("units", [24, 70, 400])
def test_weights_together_say_how_near_the_least_they_are(units):
    """At most 1.2 % above the floor, within what is owned, and the same when asked again."""
    rng = np.random.default_rng(units)
    wanted, bobbin = rng.uniform(300, 900, units).round(), rng.uniform(20, 60, units).round(1)
    owned = [(float(mass), units // 2) for mass in (50, 100, 200, 250, 500)]
    handed = hand_out_together(wanted, bobbin, owned)
    assert handed.short == 0
    assert handed.least <= handed.spread <= 1.012 * handed.least
    used = Counter(mass for each in handed.hung for mass in each)
    assert all(used[mass] <= count for mass, count in owned)
    assert hand_out_together(wanted, bobbin, owned).hung == handed.hung


def test_weights_that_are_too_light_in_all_are_told_at_once():
    """No search is needed where everything owned together does not weigh enough."""
    handed = hand_out_together(np.full(100, 800.0), np.full(100, 20.0), [(100.0, 100)])
    assert handed.short > 0

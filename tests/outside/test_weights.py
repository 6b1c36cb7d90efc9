"""Weights over the beam against published capstan problems.

Sources: Beer & Johnston, Statics, 10th ed., problem 8.104; an examination answer (two bollards);
the table of e^(μθ) is arithmetic.
"""

import math

import pytest

from crossfell.loom.tension import slip_ratio


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

"""What is neglected: capstan bounds, and sizes against the piece hung anew.

Source: Euler–Eytelwein, T2/T1 = exp(μ θ), published tables (90° … 360°, μ 0.1 … 0.4) and the worked
example 80 lb against 5000 lb by two turns, μ 0.329 (Beer & Johnston, Statics, 10th ed., 8.104). What
a change of tension does is compared with the rig hung anew with a spring that pulls so much harder:
1 %, what the second order adds.
"""

import math
from dataclasses import replace

import numpy as np
import pytest

from crossfell.statics.neglected import neglected_of, wrap_rad
from crossfell.statics.newton import rest_of
from crossfell.statics.rig import plain_rig

LEAN = np.array([[-40.0, 0.0, 40.0], [0.0, -40.0, 40.0], [0.0, -40.0, 40.0]])


def rig():
    return plain_rig(LEAN, [150.0, 130.0], band_n=[1.0, 1.0, 2.0], ea_n=4000.0, tension_n=0.5)


def sizes(friction, excess, made=None):
    made = made or rig()
    return neglected_of(made, rest_of(made), excess, np.full((2, 3), 0.01), friction=friction)


@pytest.mark.parametrize(
    ("friction", "degrees", "ratio"),
    [(0.1, 90, 1.170), (0.2, 180, 1.874), (0.3, 270, 4.111), (0.4, 360, 12.345),
     (0.329, 720, 5000 / 80)],
)  # fmt: skip
def test_a_wrap_changes_a_pull_by_no_more_than_the_capstan_lets_it(friction, degrees, ratio):
    made, angle = rig(), math.radians(degrees)
    excess = np.zeros((2, 3))
    excess[0, 0] = made.spans.long[0, 0] * angle**2 / 8
    found = sizes(friction, excess, made)
    assert wrap_rad(made.spans.long, excess)[0, 0] == pytest.approx(angle)
    assert 1 + found.friction_share == pytest.approx(ratio, rel=2e-3)


def test_friction_of_one_crossing_moves_the_foot_as_a_spring_that_pulls_harder():
    made = rig()
    rest, excess = rest_of(made), np.zeros((2, 3))
    excess[0, 1] = 0.02
    gain = np.expm1(0.3 * wrap_rad(made.spans.long, excess)[0, 1])
    shorter = made.spans.e0.copy()
    shorter[0, 1] += rest.tension_n[0][0, 1] * gain / made.spans.k[0, 1]
    again = rest_of(replace(made, spans=replace(made.spans, e0=shorter)))
    moved = abs(again.pose[-1, 0] - rest.pose[-1, 0])
    assert moved > 1e-4
    assert sizes(0.3, excess).friction_mm == pytest.approx(moved, rel=0.01)


def test_no_crossings_no_friction():
    assert sizes(0.3, np.zeros((2, 3))).friction_mm == 0


def test_damp_lets_straight_spans_down_by_their_share():
    x = np.tile([-40.0, 40.0], (3, 1))
    made = plain_rig(x, [150.0, 130.0], band_n=[1.0, 1.0, 2.0], tension_n=0.5)
    found = neglected_of(made, rest_of(made), np.zeros((2, 2)), np.zeros((2, 2)), friction=0.3)
    assert found.damp_mm == pytest.approx((0.28, 1.4), rel=1e-3)

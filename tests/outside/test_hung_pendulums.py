"""How a hung piece sways, where formulas of pendulums say so.

Sources: a string of equal beads swings with ω² = x g/l, x a root of the Laguerre polynomial L_n
(Daniel Bernoulli; published, e.g. Lamb, Dynamics; from memory); the double and compound pendulum and
the platform on two parallel cords, any textbook of dynamics; a pushed string of straight links,
tan θ = F/W below each, statics. scipy.special gives the roots (BSD-3). Tolerances: what stretching
of the ends adds.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.special import roots_laguerre

from crossfell.loom.tension import GRAVITY
from crossfell.statics.newton import rest_of
from crossfell.statics.rig import plain_rig
from crossfell.statics.sway import aside_s, blown_mm, out_s, touched_mm

G = 1000 * GRAVITY  # mm/s²
L = 120.0


def string(bands, weight=2.0):
    """Rods one below the other, each on two parallel ends; a rail holds the first."""
    x = np.tile([-300.0, 300.0], (bands + 1, 1))
    return plain_rig(x, np.full(bands, L), band_n=np.full(bands + 1, weight), ea_n=5e6,
                     tension_n=0.0)  # fmt: skip


def slowest(x):
    return 2 * math.pi / math.sqrt(x * G / L)


@pytest.mark.parametrize("bands", [1, 2, 10, 40])
def test_a_string_of_bands_swings_as_laguerre_says(bands):
    """One band is the platform on two parallel cords: the period of a plain pendulum."""
    rig = string(bands)
    want = slowest(roots_laguerre(bands)[0][0])
    assert out_s(rig) == pytest.approx(want, rel=1e-9)
    assert aside_s(rig, rest_of(rig)) == pytest.approx(want, rel=2e-4)


def test_a_rod_on_one_end_is_a_double_pendulum():
    """(l θ̈ + a φ̈) + g θ = 0 and (k² + a²) φ̈ + a l θ̈ + g a φ = 0."""
    a, k = 70.0, 90.0
    rig = plain_rig(np.zeros((2, 1)), [L], band_n=[1.0, 3.0], ea_n=5e6, tension_n=0.0)
    rig = replace(rig, moment_y=np.array([0.0, -3.0 * a]),
                  inertia=np.array([1.0, 3.0 * (k * k + a * a)]))  # fmt: skip
    mass = np.array([[L, a], [a * L, k * k + a * a]])
    weight = np.diag([G, G * a])
    lowest = np.linalg.eigvals(np.linalg.solve(mass, weight)).min()
    assert aside_s(rig, rest_of(rig)) == pytest.approx(2 * math.pi / math.sqrt(lowest), rel=1e-4)


def test_a_touch_moves_a_string_as_far_as_its_links_lean():
    """It never goes farther than its length, however hard the push."""
    rig = string(10)
    rest = rest_of(rig)
    for push in (0.5, 2.0, 40.0):
        below = 2.0 * np.arange(10, 0, -1)
        want = float(np.sum(L * np.sin(np.arctan2(push, below))))
        assert touched_mm(rig, rest, push) == pytest.approx(want, rel=2e-3)
        assert touched_mm(rig, rest, push) < 10 * L * 1.001


def test_a_draught_on_one_span_swings_it_as_its_weight_lets():
    rig = string(1)
    assert blown_mm(rig, np.array([1.0])) == pytest.approx(L * math.sin(math.atan2(0.5, 2.0)))

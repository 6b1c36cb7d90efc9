"""The bow of a slack unit against the exact parabola and catenary of a published example.

Source: span 100, length 104, as in problems of Beer & Johnston, Statics (data published; exact
values derived: parabola 12.463, catenary 12.418; the shallow formula √(3 L Δ/8) gives 12.247).
Tolerances: the digits given; 2 % between the formula and the catenary at this deep a sag.
"""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from crossfell.statics.bow import bow_is_sure, bow_mm


def parabola(span, length):
    """Sag of the parabola of this length: exact arc length, root by brentq."""

    def long(f):
        a = 4 * f / span
        return span / 2 * (math.sqrt(1 + a * a) + math.asinh(a) / a) - length

    return brentq(long, 1e-9 * span, span)


def catenary(span, length):
    a = brentq(lambda a: 2 * a * math.sinh(span / (2 * a)) - length, span / 20, 1e4 * span)
    return a * (math.cosh(span / (2 * a)) - 1)


def test_the_published_example():
    assert bow_mm(np.array(100.0), np.array(4.0)) == pytest.approx(12.247, abs=5e-4)
    assert parabola(100, 104) == pytest.approx(12.463, abs=5e-4)
    assert catenary(100, 104) == pytest.approx(12.418, abs=5e-4)
    assert bow_mm(np.array(100.0), np.array(4.0)) == pytest.approx(catenary(100, 104), rel=0.02)


@pytest.mark.parametrize("share", [1e-4, 1e-3, 1e-2])
def test_shallow_bows_are_those_of_the_parabola(share):
    """−0.4 % at a slack of 1 % of the chord, less below."""
    assert bow_mm(np.array(150.0), np.array(150 * share)) == pytest.approx(
        parabola(150, 150 * (1 + share)), rel=0.5 * share
    )


def test_a_steep_or_very_slack_unit_is_not_sure():
    chord, slack = np.full(4, 150.0), np.array([1e-4, 1e-4, 0.5, 0.5])
    lean = np.array([0.3, 0.0, 0.3, 1.0])
    assert bow_is_sure(chord, slack, lean).tolist() == [True, False, False, False]

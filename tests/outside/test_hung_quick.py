"""The quick test of every span against scipy: NNLS and a linear program on the free body.

Source: scipy.optimize.nnls and linprog with HiGHS (BSD-3; MIT). Cut through a span: tensions ≥ 0
along the drawn directions must carry the weight below, with no moment about its mass centre: three
equations. Feasibility is asked of NNLS (residual zero), the side force that can still be taken of
the linear program. Tolerances: 1e-7 of the weight.
"""

import numpy as np
import pytest
from scipy.optimize import linprog, nnls

from crossfell.statics.quick import reach


def span(seed):
    rng = np.random.default_rng(seed)
    n = int(rng.integers(1, 12))
    x = np.sort(rng.uniform(-200, 200, n))
    lean = rng.normal(rng.choice([0, 0.2]), 0.2, n) * rng.choice([0, 1], n, p=[0.2, 0.8])
    return np.tan(lean), x


def equations(tangent, x):
    """Horizontal, vertical, moment; unknowns are the vertical parts of the tensions, W = 1."""
    return np.array([tangent, np.ones_like(x), x / 100])


@pytest.mark.parametrize("seed", range(120))
def test_a_span_holds_where_least_squares_find_tensions(seed):
    tangent, x = span(seed)
    low, high = reach(np.column_stack([tangent, x]))
    _, left = nnls(equations(tangent, x), np.array([0.0, 1.0, 0.0]))
    if min(-low, high) > 1e-7:
        assert left < 1e-7
    if min(-low, high) < -1e-7:
        assert left > 1e-9


@pytest.mark.parametrize("seed", range(120))
def test_the_side_force_it_can_take_is_the_linear_programs(seed):
    tangent, x = span(seed)
    low, high = reach(np.column_stack([tangent, x]))
    for sign, want in ((1, low), (-1, high)):
        found = linprog(
            sign * tangent, A_eq=equations(tangent, x)[1:], b_eq=[1.0, 0.0], bounds=(0, None)
        )
        if found.success:
            assert sign * found.fun == pytest.approx(want, abs=1e-7)
        else:
            assert (low, high) == (1.0, -1.0)


def test_both_kinds_of_span_are_among_them():
    """Holding and swinging spans both occur: the comparison can fail."""
    margins = [
        min(-low, high) for low, high in (reach(np.column_stack(span(s))) for s in range(120))
    ]
    assert sum(m > 1e-3 for m in margins) > 20
    assert sum(m < -1e-3 for m in margins) > 20

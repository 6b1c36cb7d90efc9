"""The quick test of every span against scipy: NNLS and a linear program on the free body.

Source: scipy.optimize.nnls and linprog with HiGHS (BSD-3; MIT). Cut through a span: tensions ≥ 0
along the drawn directions must carry the weight below, with no moment about its mass centre: three
equations. Feasibility is asked of NNLS (residual zero), the side force that can still be taken of
the linear program. Tolerances: 1e-7 of the weight.
"""

import numpy as np
import pytest
from scipy.optimize import linprog, nnls

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.statics.carrying import carrying, evenest
from crossfell.statics.quick import drifts_mm, reach


def span(seed):
    rng = np.random.default_rng(seed)
    n = int(rng.integers(1, 12))
    x = np.sort(rng.uniform(-200, 200, n))
    lean = rng.normal(rng.choice([0, 0.2]), 0.2, n) * rng.choice([0, 1], n, p=[0.2, 0.8])
    return np.tan(lean), x


def reach_of(tangent, x):
    """Of one span."""
    low, high = reach(tangent[None], x[None])
    return float(low[0]), float(high[0])


def equations(tangent, x):
    """Horizontal, vertical, moment; unknowns are the vertical parts of the tensions, W = 1."""
    return np.array([tangent, np.ones_like(x), x / 100])


@pytest.mark.parametrize("seed", range(120))
def test_a_span_holds_where_least_squares_find_tensions(seed):
    tangent, x = span(seed)
    low, high = reach_of(tangent, x)
    _, left = nnls(equations(tangent, x), np.array([0.0, 1.0, 0.0]))
    if min(-low, high) > 1e-7:
        assert left < 1e-7
    if min(-low, high) < -1e-7:
        assert left > 1e-9


@pytest.mark.parametrize("seed", range(120))
def test_the_side_force_it_can_take_is_the_linear_programs(seed):
    tangent, x = span(seed)
    low, high = reach_of(tangent, x)
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
    margins = [min(-low, high) for low, high in (reach_of(*span(s)) for s in range(120))]
    assert sum(m > 1e-3 for m in margins) > 20
    assert sum(m < -1e-3 for m in margins) > 20


@pytest.mark.parametrize("seed", range(60))
def test_the_units_that_are_said_to_carry_a_span_can_carry_it(seed):
    """They fulfil the three equations, and no other unit is needed."""
    tangent, x = span(seed)
    low, high = reach_of(tangent, x)
    if min(-low, high) <= 1e-6:
        return
    share = evenest(np.column_stack([tangent, x]))
    kept = share > 0
    _, left = nnls(equations(tangent[kept], x[kept]), np.array([0.0, 1.0, 0.0]))
    assert left < 2e-2 or kept.all()
    assert share.sum() == pytest.approx(1, abs=0.03)
    assert (share >= 0).all()


SWINGS = """
measure = "mm"
[piece]
woven_from = "{woven}"
[yarn.y]
count = "tex 200"
fibre = "linen"
[strip.s]
width = 24
dents = 12
[unit.u]
strip = "s"
ends = "12 y"
[warp]
pitch = 30
order = "u*8 - -"
[band]
picks = "2, rod, 2"
rod = "steel 3"
[[span]]
height = 150
moves = "shift 1-8 right 12 mm"
[[span]]
height = 200
moves = "1 over 2"
[[span]]
height = 150
moves = "shift 1-8 right 10 mm"
"""


@pytest.mark.parametrize("woven", ["bottom", "top"])
def test_the_drifts_that_it_foretells_are_those_of_the_hung_shape(woven):
    """They add up from span to span; the hung shape differs by its tilt only."""
    piece = Piece(read_draft(SWINGS.format(woven=woven)))
    told = drifts_mm(piece.draft, piece.holds)
    assert [hold.state for hold in piece.holds] == ["swings", "carried", "swings"]
    assert sorted(np.abs(np.diff(told)).round(9).tolist()) == [0, 10, 12]
    assert np.abs(told - piece.hung.drift_mm).max() < 0.6
    share = carrying(piece.draft, piece.rig, piece.holds)
    assert share[1].sum() == pytest.approx(1, abs=0.03)
    assert (share[[0, 2]] == 0).all()


def test_many_spans_at_once_reach_as_far_as_one_by_one():
    """Shifted so that some units stand exactly under the mass centre, and some spans miss it."""
    rng = np.random.default_rng(7)
    tangent = rng.normal(0, 0.2, (200, 9)).round(1)
    x = rng.integers(-3, 4, (200, 9)) + rng.choice([0.0, 2.0, 5.0], 200)[:, None]
    low, high = reach(tangent, x)
    for k in range(200):
        assert (low[k], high[k]) == reach_of(tangent[k], x[k])
        found = [
            u if y == 0 else u + y / (y - b) * (v - u)
            for u, y in zip(tangent[k], x[k], strict=True) if y >= 0
            for v, b in zip(tangent[k], x[k], strict=True) if y == 0 or b < 0
        ]  # fmt: skip
        want = (min(found), max(found)) if found else (1.0, -1.0)
        assert (low[k], high[k]) == pytest.approx(want, abs=1e-12)

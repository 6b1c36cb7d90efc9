"""Heights of crossing units against a general solver of quadratic programs, scipy and a beam table.

The reference program is built another way: unknowns are the heights at the meetings alone, and
the bending of a unit is that of scipy's clamped cubic spline through them.
Sources: clarabel (Apache-2.0), scipy (BSD-3); beam fixed at both ends, load in the middle: δ =
P L³/192 EI, published in every beam table.
"""

import itertools

import clarabel
import numpy as np
import pytest
from scipy.interpolate import CubicSpline
from scipy.optimize import minimize
from scipy.sparse import block_diag, csc_matrix

from crossfell.paths.active_set import Gaps, worked_out
from crossfell.paths.beams import DenseFlexibility, SparseFlexibility, deflection
from crossfell.paths.contact import contact_of
from crossfell.paths.heights import TYPICAL

RNG = np.random.default_rng(1937)


def crossing(above, ranks):
    """Meetings of straight units: `above` is their places at the far band, `ranks` who is over."""
    n = len(above)
    over, under, at = [], [], []
    for i, j in itertools.combinations(range(n), 2):
        if above[i] > above[j]:
            first, second = (i, j) if ranks[i] > ranks[j] else (j, i)
            over.append(first)
            under.append(second)
            at.append((j - i) / ((j - i) + (above[i] - above[j])))
    return np.array(over), np.array(under), np.array(at)


def bending(at):
    """Matrix K of ∫ z''² = zᵀ K z for the clamped cubic spline through heights z at `at`."""
    knots = np.concatenate(([0.0], at, [1.0]))
    n = len(at)
    second = []
    for i in range(n):
        values = np.zeros(n + 2)
        values[i + 1] = 1
        second.append(CubicSpline(knots, values, bc_type="clamped")(knots, 2))
    width = np.diff(knots)
    matrix = np.zeros((n, n))
    for i, j in itertools.product(range(n), repeat=2):
        a, b = second[i], second[j]
        piece = a[:-1] * b[:-1] + a[1:] * b[1:] + (a[:-1] * b[1:] + a[1:] * b[:-1]) / 2
        matrix[i, j] = (width * piece).sum() / 3
    return matrix


def reference(over, under, at, distance, stiffness):
    """K, A of: least zᵀ K z / 2 with A z ≥ distance; z stands unit by unit, sorted by height."""
    blocks, where, base = [], {}, 0
    for unit in range(len(stiffness)):
        own = np.flatnonzero((over == unit) | (under == unit))
        if not len(own):
            continue
        shares = np.unique(np.round(at[own], 12))
        blocks.append(stiffness[unit] * bending(shares))
        for c in own:
            where[unit, c] = base + int(np.argmin(np.abs(shares - at[c])))
        base += len(shares)
    rows = np.zeros((len(at), base))
    for c in range(len(at)):
        rows[c, where[over[c], c]] += 1
        rows[c, where[under[c], c]] -= 1
    return block_diag(blocks, format="csc"), rows


def energy_by_clarabel(K, A, distance):
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    for name in ("tol_gap_abs", "tol_gap_rel", "tol_feas"):
        setattr(settings, name, 1e-11)
    solver = clarabel.DefaultSolver(
        csc_matrix(np.triu(K.toarray())),
        np.zeros(K.shape[0]),
        csc_matrix(-A),
        -distance,
        [clarabel.NonnegativeConeT(len(distance))],
        settings,
    )
    solved = solver.solve()
    return float(solved.obj_val), np.array(solved.x)


def ours(kind, over, under, at, distance, stiffness):
    """Energy and gaps of our own answer: half of force × way, by the beam table's superposition."""
    found = contact_of(kind(over, under, at, stiffness), distance, TYPICAL)
    assert found.converged
    gap = DenseFlexibility(over, under, at, stiffness).matrix @ found.force
    return float(found.force @ gap) / 2, gap, found.force


CASES = {
    "two": ([1, 0], [1, 0]),
    "three through three": ([3, 4, 5, 0, 1, 2], [1, 1, 1, 0, 0, 0]),
    "reversal": ([4, 3, 2, 1, 0], [2, 0, 4, 1, 3]),
    "mixed": ([2, 0, 4, 5, 1, 3], [5, 1, 3, 0, 4, 2]),
    "nine": (list(RNG.permutation(9)), list(RNG.permutation(9))),
    "fourteen": (list(RNG.permutation(14)), list(RNG.permutation(14))),
}


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("kind", [DenseFlexibility, SparseFlexibility])
def test_least_bending_agrees_with_a_general_solver(name, kind):
    """Energy and heights are those of clarabel on the independently built program."""
    over, under, at = crossing(*CASES[name])
    distance = RNG.uniform(0.3, 1.2, len(at))
    stiffness = RNG.uniform(0.5, 2, len(CASES[name][0]))
    K, A = reference(over, under, at, distance, stiffness)
    energy, z = energy_by_clarabel(K, A, distance)
    found, gap, force = ours(kind, over, under, at, distance, stiffness)
    tolerance = (
        1e-6 if kind is DenseFlexibility else 2e-4
    )  # sparse: near meetings of one unit share a knot
    assert found == pytest.approx(energy, rel=tolerance)
    assert gap == pytest.approx(A @ z, abs=1e-4 if kind is DenseFlexibility else 2e-2)
    assert gap.min() >= distance.min() * (1 - 1e-3)
    assert force.min() >= 0


@pytest.mark.parametrize("units", [14, 22])
def test_a_few_asked_at_a_time_agree_with_a_general_solver(units):
    """Where many meet, only some are asked; none comes too near, and the energy is clarabel's."""
    over, under, at = crossing(list(RNG.permutation(units)), list(RNG.permutation(units)))
    distance = RNG.uniform(0.3, 1.2, len(at))
    stiffness = RNG.uniform(0.5, 2, units)
    found = worked_out(over, under, at, distance, stiffness, TYPICAL)
    assert found.converged
    gap = DenseFlexibility(over, under, at, stiffness).matrix @ found.force
    assert gap == pytest.approx(Gaps(over, under, at, stiffness).gaps(found.force), abs=1e-9)
    assert (gap - distance).min() > -1e-8
    K, A = reference(over, under, at, distance, stiffness)
    energy, _ = energy_by_clarabel(K, A, distance)
    assert float(found.force @ gap) / 2 == pytest.approx(energy, rel=1e-6)


@pytest.mark.parametrize("name", ["two", "three through three", "mixed"])
def test_least_bending_agrees_with_scipy(name):
    """scipy's SLSQP finds the same energy from the independently built program."""
    over, under, at = crossing(*CASES[name])
    distance = np.full(len(at), 0.4)
    stiffness = np.ones(len(CASES[name][0]))
    K, A = reference(over, under, at, distance, stiffness)
    full = K.toarray()
    start = np.linalg.lstsq(A, 1.1 * distance, rcond=None)[0]
    solved = minimize(
        lambda z: z @ full @ z / 2,
        start,
        jac=lambda z: full @ z,
        constraints={"type": "ineq", "fun": lambda z: A @ z - distance, "jac": lambda _z: A},
        method="SLSQP",
        options={"maxiter": 500, "ftol": 1e-12},
    )
    assert ours(DenseFlexibility, over, under, at, distance, stiffness)[0] == pytest.approx(
        solved.fun, rel=1e-5
    )


def test_beam_table():
    """Both ends fixed, load in the middle: 1/192; load at a: (a b)³/3."""
    assert deflection(np.array(0.5), np.array(0.5)) == pytest.approx(1 / 192, rel=1e-14)
    for a in (0.1, 0.3, 0.7):
        own = deflection(np.array(a), np.array(a))
        assert own == pytest.approx((a * (1 - a)) ** 3 / 3, rel=1e-12)


def test_one_crossing_by_hand():
    """Two alike units share the distance: each goes half of it, and bends like the beam table."""
    over, under, at = crossing([1, 0], [1, 0])
    energy, gap, force = ours(DenseFlexibility, over, under, at, np.array([0.8]), np.ones(2))
    assert gap == pytest.approx([0.8])
    assert force == pytest.approx([0.4 * 192])
    assert energy == pytest.approx(0.4 * 192 * 0.8 / 2)


@pytest.mark.soak
@pytest.mark.parametrize("seed", range(40))
def test_soak_many_spans_agree_with_a_general_solver(seed):
    """Energy of random spans, few units to many, thin to thick, against clarabel."""
    rng = np.random.default_rng(seed)
    units = int(rng.integers(3, 26))
    over, under, at = crossing(list(rng.permutation(units)), list(rng.permutation(units)))
    if not len(at):
        return
    distance = rng.uniform(0.2, 3, len(at))
    stiffness = rng.uniform(0.2, 5, units)
    found = worked_out(over, under, at, distance, stiffness, TYPICAL)
    assert found.converged
    gap = DenseFlexibility(over, under, at, stiffness).matrix @ found.force
    K, A = reference(over, under, at, distance, stiffness)
    energy, _ = energy_by_clarabel(K, A, distance)
    assert float(found.force @ gap) / 2 == pytest.approx(energy, rel=1e-5)

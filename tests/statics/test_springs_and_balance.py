"""The kernel: exact gradient and stiffness, forces that sum to nothing, fibres that stand for ends."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.statics.balance import balance_of, room_for
from crossfell.statics.banded import banded, lowest_eigenvalue, solved, times
from crossfell.statics.fibres import shares_of
from crossfell.statics.newton import rest_of
from crossfell.statics.rig import plain_rig


def random_rig(seed, *, cords=True):
    """Units × spans anywhere, off-centre bands, splayed cords, errors of length."""
    rng = np.random.default_rng(seed)
    units, bands = int(rng.integers(1, 8)), int(rng.integers(2, 8))
    start = np.sort(rng.uniform(-200, 200, units))
    x = np.array([rng.permutation(start) + rng.normal(0, 5, units) for _ in range(bands)])
    at = np.sort(rng.uniform(-200, 200, int(rng.integers(1, 4))))
    offsets = (-8.0, 0.0, 8.0) if rng.random() < 0.7 else (0.0,)
    return plain_rig(
        x,
        rng.uniform(60, 250, bands - 1),
        band_n=rng.uniform(0.1, 2.0, bands),
        ea_n=10 ** rng.uniform(2.5, 5),
        tension_n=rng.uniform(0, 20),
        offsets_mm=offsets,
        band_mm=8.0,
        cords_mm=tuple(at) if cords else None,
        points_mm=tuple(at + rng.normal(0, 60, len(at))) if cords else None,
        mass_mm=rng.normal(0, 10),
        longer=rng.normal(0, 0.003, (bands - 1, units * len(offsets))),
    )


def dense(blocks):
    size = 3 * len(blocks.on)
    whole = np.zeros((size, size))
    for b, block in enumerate(blocks.on):
        whole[3 * b : 3 * b + 3, 3 * b : 3 * b + 3] = block
    for b, block in enumerate(blocks.off):
        whole[3 * b : 3 * b + 3, 3 * b + 3 : 3 * b + 6] = block
        whole[3 * b + 3 : 3 * b + 6, 3 * b : 3 * b + 3] = block.T
    return whole


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("cords", [True, False])
def test_gradient_and_stiffness_are_the_derivatives_of_the_energy(seed, cords):
    """Central differences of the energy and of the gradient, at a pose with large tilts."""
    rig = random_rig(seed, cords=cords)
    rng = np.random.default_rng(seed)
    pose = rng.normal(0, 1, (rig.bands, 3)) * (6.0, 6.0, 0.6)
    if not cords:
        pose[0] = 0.0
    here = balance_of(rig, pose, None, room_for(rig))
    scale = np.array([1.0, 1.0, 1 / rig.reach_mm] * rig.bands)
    whole = dense(here.blocks)

    def at(index, step):
        moved = pose.ravel().copy()
        moved[index] += step
        return balance_of(rig, moved.reshape(-1, 3), None, room_for(rig))

    free = range(0 if cords else 3, pose.size)
    for i in free:
        step = 1e-4 * scale[i]
        more, less = at(i, step), at(i, -step)
        slope = (more.energy - less.energy) / (2 * step)
        size = np.abs(here.gradient).max() + abs(slope)
        assert here.gradient.ravel()[i] == pytest.approx(slope, abs=2e-6 * size)
        column = (more.gradient - less.gradient).ravel() / (2 * step)
        assert np.abs(whole[:, i] - column).max() < 1e-5 * np.abs(column).max()


def test_the_difference_test_can_fail():
    """With a carried tension the stiffness is not the derivative: a test that sees no difference is none."""
    rig = random_rig(3)
    pose = np.random.default_rng(3).normal(0, 1, (rig.bands, 3)) * (6.0, 6.0, 0.3)
    true = balance_of(rig, pose, None, room_for(rig))
    none = tuple(np.zeros(s.shape) for s in rig.springs)
    carried = balance_of(rig, pose, none, room_for(rig))
    assert carried.energy == true.energy
    assert np.allclose(carried.gradient, true.gradient)
    assert np.abs(dense(carried.blocks) - dense(true.blocks)).max() > 1e-3


@pytest.mark.parametrize("seed", range(8))
def test_at_rest_the_pull_on_each_band_balances_its_weight(seed):
    """A free body: summed here from ends' positions and tensions alone, in the hung geometry."""
    rig = random_rig(seed)
    rest = rest_of(rig)
    assert rest.converged
    force, moment = np.zeros((rig.bands, 2)), np.zeros(rig.bands)
    s = rig.spans

    def points(x, y, pose):
        c, n = np.cos(pose[:, 2])[:, None], np.sin(pose[:, 2])[:, None]
        return np.stack([c * x - n * y[:, None], n * x + c * y[:, None]], axis=-1)

    above, below = (
        points(s.above_x, s.above_y, rest.pose[:-1]),
        points(s.below_x, s.below_y, rest.pose[1:]),
    )
    drafted = np.stack([s.dx, s.dy], -1)
    local = np.stack([s.below_x - s.above_x, (s.below_y - s.above_y)[:, None] + 0 * s.dx], -1)
    gap = drafted - local  # from band to band, between the reference points
    run = gap + (rest.pose[1:] - rest.pose[:-1])[:, None, :2] + below - above
    pulls = run / np.hypot(run[..., 0], run[..., 1])[..., None] * rest.tension_n[0][..., None]
    force[:-1] += pulls.sum(1)
    force[1:] -= pulls.sum(1)
    moment[:-1] += (above[..., 0] * pulls[..., 1] - above[..., 1] * pulls[..., 0]).sum(1)
    moment[1:] -= (below[..., 0] * pulls[..., 1] - below[..., 1] * pulls[..., 0]).sum(1)
    tilt = rest.pose[:, 2]
    centre = np.cos(tilt) * rig.moment_x - np.sin(tilt) * rig.moment_y
    for b in range(1, rig.bands):
        assert force[b] == pytest.approx((0, rig.weight_n[b]), abs=1e-8 * rig.total_n)
        assert moment[b] == pytest.approx(centre[b], abs=1e-7 * rig.total_n * rig.reach_mm)


@pytest.mark.parametrize("seed", range(20))
def test_random_pieces_come_to_rest(seed):
    rest = rest_of(random_rig(100 + seed))
    assert rest.converged
    assert rest.residual < 1e-9


@settings(max_examples=20, deadline=None)
@given(st.integers(1, 12), st.integers(0, 10**6))
def test_the_banded_solver_solves(bands, seed):
    rng = np.random.default_rng(seed)
    from crossfell.statics.banded import Blocks

    off = rng.normal(0, 0.3, (bands - 1, 3, 3))
    on = np.array([m @ m.T + 4 * np.eye(3) for m in rng.normal(0, 1, (bands, 3, 3))])
    blocks = Blocks(on=on, off=off)
    right = rng.normal(0, 1, (bands, 3))
    x = solved(banded(blocks), right.ravel())
    whole = dense(blocks)
    assert lowest_eigenvalue(banded(blocks)) == pytest.approx(
        np.linalg.eigvalsh(whole)[0], abs=1e-10
    )
    if x is not None:
        assert np.allclose(times(blocks, x.reshape(-1, 3)), right)
        assert np.allclose(whole @ x, right.ravel())


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(0.1, 10), min_size=1, max_size=30), st.floats(1, 80))
def test_three_fibres_are_as_stiff_as_all_ends(ea, width):
    """Sum and first moment exactly, no share below zero; the second moment too for like ends."""
    n = len(ea)
    x = (np.arange(n) + 0.5) * width / n - width / 2
    share = shares_of(x)
    edge = np.abs(x).max()
    at = np.array([-edge, 0.0, edge])
    assert share.min() >= -1e-12
    assert np.allclose(share.sum(1), 1)
    assert (share @ at).sum() == pytest.approx(x.sum(), abs=1e-9 * width)
    like = share.sum(0)
    assert like @ at**2 == pytest.approx((x**2).sum(), abs=1e-9 * width**2 * n)
    assert (share.T @ np.array(ea)).sum() == pytest.approx(sum(ea))

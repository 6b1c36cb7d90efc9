"""Piles: the corners that are looked at find what a fine grid finds."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.paths.meetings import Bends, Meetings
from crossfell.paths.piles import piles_of


@given(st.permutations(range(6)), st.floats(0.3, 0.98), st.integers(0, 2**30))
@settings(max_examples=12, deadline=None)
def test_no_spot_of_a_fine_grid_is_thicker(above, share, seed):
    pitch, width = 10.0, 10.0 * share
    x = (np.array([range(6), above]) + 0.5) * pitch
    thick = np.random.default_rng(seed).uniform(0.5, 2, (1, 6))
    pairs = [(i, j) for i in range(6) for j in range(i) if (i - j) * (x[1, i] - x[1, j]) < 0]
    over, under = np.array(pairs, dtype=int).reshape(-1, 2).T
    meetings = Meetings(
        span=np.zeros(len(over), int),
        over=over,
        under=under,
        at=np.full(len(over), 0.5),
        bends=(Bends(at=np.zeros(0), x_mm=np.zeros((0, 6))),),
    )
    pile, spots = piles_of(meetings, x, np.full(6, width), thick)
    s, across = np.linspace(0, 1, 121)[:, None], np.linspace(0, 60, 361)
    lines = (1 - s) * x[0] + s * x[1]
    covers = np.abs(lines[:, None, :] - across[None, :, None]) < 0.96 * width / 2
    assert pile[0] >= (covers @ thick[0]).max() - 1e-9
    if spots[0]:
        count, at_x, at = spots[0]
        there = np.abs((1 - at) * x[0] + at * x[1] - at_x) < width / 2
        assert there.sum() == count >= 2
        assert pile[0] == pytest.approx(max(thick[0][there].sum(), thick.max()))

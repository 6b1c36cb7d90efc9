"""Ranges over errors of length: the same on any number of cores, and as wide as the errors."""

from pathlib import Path

import numpy as np
import pytest

from crossfell.draft.files import read_file
from crossfell.piece import Piece
from crossfell.search.spread import spread_of

EXAMPLE = Path(__file__).parents[2] / "examples/01-first-sampler/first-sampler.toml"


@pytest.fixture(scope="module")
def piece():
    return Piece(read_file(EXAMPLE))


def test_the_same_seed_gives_the_same_ranges_on_one_core_and_on_two(piece):
    one, two = (spread_of(piece, runs=11, cores=cores) for cores in (1, 2))
    for name in ("tension_n", "bows_share", "drift_mm", "tilt_rad", "cords_n"):
        assert np.array_equal(getattr(one, name), getattr(two, name))
    assert not np.array_equal(one.tension_n, spread_of(piece, runs=11, cores=1, seed=2).tension_n)


def test_without_errors_every_range_is_the_hung_shape(piece):
    spread = spread_of(piece, runs=3, error=0.0, cores=1)
    assert spread.tension_n == pytest.approx(np.tile(piece.bent.tension_n, (3, 1, 1)), abs=1e-6)
    assert spread.drift_mm == pytest.approx(np.tile(piece.hung.drift_mm, (3, 1)), abs=1e-6)


def test_larger_errors_give_wider_ranges_and_more_slack(piece):
    small, large = (spread_of(piece, runs=12, error=e, cores=1) for e in (1e-5, 3e-3))
    for name in ("drift_mm", "tilt_rad"):
        wide, narrow = (np.ptp(getattr(s, name), axis=0)[:-1].mean() for s in (large, small))
        assert wide > 10 * narrow
    assert large.bows_share.mean() > small.bows_share.mean()
    assert (large.tension_n[0] <= large.tension_n[2]).all()
    assert large.failed == 0
    counted = []
    spread_of(piece, runs=25, error=1e-5, cores=1, done=counted.append)
    assert sum(counted) == 25

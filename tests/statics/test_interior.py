"""The interior point on its own: the same rest as Newton's, where many ends hang slack."""

import numpy as np
import pytest
from test_random_pieces_come_to_rest import random_piece

from crossfell.statics.hanging import Hanging
from crossfell.statics.interior import started, to_rest
from crossfell.statics.newton import first_carried, rest_of


@pytest.mark.parametrize("seed", [2, 4, 11, 18, 25, 39])
def test_it_comes_to_a_balance_of_the_true_forces(seed):
    """What is left is asked of the rest's own gradient, which knows nothing of slackness."""
    _, rig = random_piece(seed)
    problem = Hanging(rig, 0.3)
    tension = np.concatenate([part.ravel() for part in first_carried(rig)])
    state = started(problem, np.zeros(3 * rig.bands), tension, apart=10.0)
    assert to_rest(problem, state, most=80, enough=1e-9)
    again = rest_of(rig, state.q.reshape(-1, 3))
    assert again.converged
    assert again.pose == pytest.approx(state.q.reshape(-1, 3), abs=1e-5)


def test_random_pieces_need_no_start_from_soft_yarn():
    rests = [rest_of(random_piece(seed)[1]) for seed in range(60)]
    assert all(rest.converged for rest in rests)
    assert sum(rest.fallback for rest in rests) == 0

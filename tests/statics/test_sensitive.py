"""To first order, errors of length move a piece as pieces hung with very small errors move."""

import numpy as np
import pytest

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.statics.chance import factors_of
from crossfell.statics.newton import rest_of
from crossfell.statics.rig import with_errors
from crossfell.statics.sensitive import half_width_mm, sensitive_of
from small_piece import small_draft

SMALL = 1e-7  # a share of the length: so little that no end goes slack


def pushed(made, factors):
    """Changes of pose [errors, bands, 3] for each independent error of size 1, one by one."""
    spans, (units, count, _) = len(made.draft.spans), factors.shape
    rows = []
    for k, u, j in np.ndindex(spans, units, count):
        longer = np.zeros((spans, units, count))
        longer[k, u] = SMALL * factors[u, :, j]
        there, back = (rest_of(with_errors(made.rig, way * longer), made.hung.rest.pose)
                       for way in (1, -1))  # fmt: skip
        rows.append((there.pose - back.pose) / (2 * SMALL))
    return np.array(rows)


@pytest.mark.parametrize("hang", ["", "rail = true"])
@pytest.mark.parametrize("of", ["each end", "whole unit"])
def test_it_is_the_root_of_the_sum_of_squares_of_every_error_alone(hang, of):
    text = small_draft("1-2 over 3-4", "2 under 3", order="a*4")
    text = text.replace("[warp]", f'[warp]\nerror_of = "{of}"')
    made = Piece(read_draft(text.replace("[band]", f"[hang]\n{hang}\n[band]")))
    factors = factors_of(made.draft)
    told = sensitive_of(made.rig, made.hung.rest, factors)
    moved, half = pushed(made, factors), half_width_mm(made.rig)
    ends = [np.square(moved[:, :, 0] + side * half * moved[:, :, 2]).sum(0) for side in (1, -1)]
    assert told.moved_mm == pytest.approx(np.sqrt(np.max(ends)), rel=1e-3)
    assert told.tilt_rad == pytest.approx(np.sqrt(np.square(moved[:, :, 2]).sum(0).max()), rel=1e-3)
    assert told.moved_mm > 1

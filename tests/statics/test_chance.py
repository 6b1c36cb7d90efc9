"""Errors of single ends, as three fibres of a unit feel them."""

import numpy as np
import pytest

from crossfell.draft.reader import read_draft
from crossfell.statics.chance import errors_of, factors_of
from crossfell.statics.fibres import FIBRES, parts_of
from small_piece import small_draft


def test_fibres_err_as_the_means_of_ends_that_each_errs_by_itself():
    draft = read_draft(small_draft(""))
    kind = draft.kinds[draft.units[0].kind]
    share = parts_of(draft, kind, FIBRES).T
    mean = share / share.sum(axis=1, keepdims=True)
    ends = np.random.default_rng(5).normal(size=(200_000, kind.end_count))
    factor = factors_of(draft)[0]
    assert factor @ factor.T == pytest.approx(np.cov((ends @ mean.T).T), rel=0.02, abs=2e-3)


def test_many_ends_even_out_and_a_whole_unit_does_not():
    draft = read_draft(small_draft(""))
    whole = read_draft(small_draft("").replace("[warp]", '[warp]\nerror_of = "whole unit"'))
    each = errors_of(factors_of(draft), 400, 0.001, (1, 1))
    alike = errors_of(factors_of(whole), 400, 0.001, (1, 1))
    assert alike.std() == pytest.approx(0.001, rel=0.05)
    assert (alike[..., 0] == alike[..., 2]).all()
    assert each.std() < 0.7 * alike.std()
    assert (each == errors_of(factors_of(draft), 400, 0.001, (1, 1))).all()

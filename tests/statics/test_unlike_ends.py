"""Units whose ends differ hang by each of their ends; rods that bend share loads more evenly."""

import numpy as np
import pytest

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.search.bowing import bowing_of, told

DRAFT = """measure = "mm"
[yarn.hard]
count = "tex 200"
modulus = 12
[yarn.soft]
count = "tex 200"
modulus = 0.5
[strip.s]
width = 24
dents = 12
[unit.u]
strip = "s"
ends = "{ends}"
[warp]
pitch = 30
order = "u*6"
[band]
picks = "2, rod, 2"
rod = "steel 3"
[[span]]
height = 150
moves = "plait 1-6, turn 2 right"
[[span]]
height = 150
moves = "1 over 2, 4 under 5"
"""


def piece(ends):
    return Piece(read_draft(DRAFT.format(ends=ends)))


def test_ends_that_differ_are_springs_of_their_own():
    """Its stiffness, end by end, is that of the yarns: k L0 = EA; a like unit keeps three fibres."""
    unlike, like = piece("6 hard, 6 soft"), piece("12 hard")
    assert like.rig.spans.shape[1] == 6 * 3
    springs = unlike.rig.spans
    assert springs.shape[1] == 6 * 12
    natural = springs.long - springs.e0
    ea = (springs.k * natural).reshape(2, 6, 12)
    face = [200 * 12.0] * 6 + [200 * 0.5] * 6
    assert ea == pytest.approx(np.broadcast_to(face, ea.shape), rel=1e-9)


def test_a_kind_that_no_unit_is_of_changes_nothing():
    more = DRAFT.format(ends="12 hard").replace(
        "[warp]", '[strip.l]\nwidth = 60\ndents = 30\n[unit.v]\nstrip = "l"\n'
        'ends = "10 hard, 20 soft"\n[warp]')  # fmt: skip
    one, other = piece("12 hard"), Piece(read_draft(more))
    assert (one.hung.tension_n == other.hung.tension_n).all()
    assert (one.verdict.word, one.verdict.moved_mm) == (other.verdict.word, other.verdict.moved_mm)


def test_unlike_units_hang_by_their_soft_edge():
    """Woven under the same tension soft ends stretch most, and are shortest once it is let go."""
    unlike = piece("6 hard, 6 soft")
    assert unlike.hung.converged
    assert unlike.bent.converged
    weight = unlike.rig.weight_n[::-1].cumsum()[:-1]
    down = unlike.bent.tension_n.sum(axis=1)
    assert (down > weight * 0.99).all()
    by_end = unlike.hung.rest.tension_n[0].reshape(2, 6, 12).sum(axis=(0, 1))
    assert by_end[6:].sum() > 10 * by_end[:6].sum()


def test_truer_lengths_let_fewer_units_bow_and_the_range_is_told():
    made = piece("12 hard")
    bows = bowing_of(made, runs=10)
    assert bows.own.bows_share.mean() >= bows.half.bows_share.mean()
    said = told(made, bows.own, bows.half)
    assert said.startswith("With each end true to 0.1 %, ")
    assert "at 0.05 %" in said
    assert "bow by more than 3.0 mm" in said

"""Weights and tensions: what a weight gives, both ways of slip, and when an end is strained."""

import math

import numpy as np
import pytest

from crossfell.draft.reader import read_draft
from crossfell.loom.tension import howell_n
from crossfell.piece import Piece

TEXT = """
[yarn.s]
count = "lea 16/2"
fibre = "linen"
{yarn}
[strip.n]
width = 20
dents = 12
[unit.a]
strip = "n"
ends = "12 s"
[unit.b]
strip = "n"
ends = "6 s"
[warp]
pitch = 24
order = "a*2 b*2"
tension = "{tension}"
[loom]
{loom}
[band]
rod = "steel 3"
[[span]]
height = 120
moves = "1 over 2"
"""


def loom(tension="0.4 N", loom="", yarn=""):
    made = Piece(read_draft(TEXT.format(tension=tension, loom=loom, yarn=yarn)))
    assert made.computable, [note.message for note in made.draft.notes]
    return made.loom


def test_weight_is_the_ends_times_their_tension():
    state = loom()
    assert state.weight_g[0] == pytest.approx(12 * 0.4 / 9.80665 * 1000)
    assert state.weight_g[2] == pytest.approx(state.weight_g[0] / 2)


def test_slip_in_both_directions_bounds_the_tension_from_both_sides():
    state = loom(loom="friction = 0.3\nwrap = 180")
    wanted = state.weight_g * 9.80665 / 1000
    slip = math.exp(0.3 * math.pi)
    assert np.allclose(state.least_n, wanted / slip)
    assert np.allclose(state.most_n, wanted * slip)
    assert np.allclose(state.least_n * state.most_n, wanted**2)


def test_a_roller_without_friction_gives_the_weight_itself():
    state = loom(loom="friction = 0")
    assert np.allclose(state.least_n, state.most_n)


def test_a_strained_end_is_doubtful():
    assert "too-much-tension" in [n.code for n in loom(yarn="tenacity = 0.01").notes]
    assert "too-much-tension" not in [n.code for n in loom(yarn="tenacity = 1.0").notes]


def test_howells_law_is_taken_end_by_end_on_a_beam_where_it_was_measured():
    """A unit of half the ends has half the tension either way, at the same weight of an end."""
    measured = "howell_a = 0.3\nhowell_power = 0.9\nbeam_radius = 20\nwrap = 180\n"
    state = loom(loom=measured)
    low, high = (float(howell_n(np.array(0.4), 0.3, 0.9, 0.020, way * math.pi)) for way in (-1, 1))
    assert state.least_n == pytest.approx([12 * low] * 2 + [6 * low] * 2)
    assert state.most_n == pytest.approx([12 * high] * 2 + [6 * high] * 2)
    assert state.friction_how == "measured"


def test_one_of_howells_numbers_alone_is_not_his_law():
    for one in ("howell_a = 0.3", "howell_power = 0.9"):
        state, plain = loom(loom=one), loom()
        assert np.array_equal(state.most_n, plain.most_n)
        assert state.friction_how == "default"
    assert loom(loom="friction = 0.2").friction_how == "measured"


def test_too_few_weights_and_too_little_drop_are_told_with_their_numbers():
    few = loom(loom="weights = ['400 g * 3']")
    note = next(n for n in few.notes if n.code == "weights-short")
    assert (note.facts["units"], note.facts["owned"]) == (few.handed.short, "3 of 400 g")
    short = loom(loom="drop = 60")
    note = next(n for n in short.notes if n.code == "drop-too-short")
    assert note.facts["span"] == 1
    assert {n.code for n in loom().notes} & {"weights-short", "drop-too-short"} == set()

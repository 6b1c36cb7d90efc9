"""Weights and tensions: what a weight gives, both ways of slip, and when an end is strained."""

import math

import numpy as np
import pytest

from crossfell.draft.reader import read_draft
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

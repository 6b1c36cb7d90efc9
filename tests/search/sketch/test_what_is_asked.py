"""Does a sketch ask for what the picture shows, and count what it cannot have?"""

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.materials.colour import linear_from_hex
from crossfell.search.sketch.asked import asked, beyond_counts, shares, wrong_cells
from crossfell.search.sketch.making import ask_of
from crossfell.search.sketch.picture import Cells
from crossfell.search.sketch.preview import eased, preview, within_reach

COLOURS = ("#d9d2c0", "#3f4f5c", "#a85432", "#5b6b4a")


def ask_for(grid, counts, reach=2, free=None, matters=None):
    """An ask for a grid of colour numbers."""
    grid = np.array(grid)
    k = len(counts)
    light = np.array([linear_from_hex(colour) for colour in COLOURS])[grid]
    matters = np.ones(grid.shape) if matters is None else matters
    return asked(light, matters, COLOURS[:k], tuple(counts), reach=reach, free=free or (False,) * k)


@st.composite
def asks(draw):
    """Random grids, with or without open places."""
    bands, places, k = draw(st.integers(2, 7)), draw(st.integers(4, 12)), draw(st.integers(2, 4))
    cuts = sorted(draw(st.lists(st.integers(1, places - 1), min_size=k - 1, max_size=k - 1,
                                unique=True)))  # fmt: skip
    counts = np.diff([0, *cuts, places])
    chance = np.random.default_rng(draw(st.integers(0, 999)))
    grid = chance.integers(0, k, (bands, places))
    free = (False,) * (k - 1) + (draw(st.booleans()),)
    return ask_for(grid, counts, reach=draw(st.integers(1, 3)), free=free)


@settings(max_examples=40, deadline=None)
@given(asks())
def test_cells_sum_to_one_and_colours_to_their_counts(ask):
    assert ask.density.sum(axis=1) == pytest.approx(1, abs=1e-9)
    for c, count in enumerate(ask.counts):
        assert ask.density[:, c].sum(axis=1) == pytest.approx(count, abs=0.05)


@settings(max_examples=60, deadline=None)
@given(asks())
def test_the_preview_has_every_unit_in_every_band_and_nobody_goes_too_far(ask):
    shown = preview(ask)
    for c, count in enumerate(ask.counts):
        assert ((shown == c).sum(axis=1) == count).all()
        if not ask.free[c]:
            places = np.array([np.flatnonzero(row == c) for row in shown])
            assert np.abs(np.diff(places, axis=0)).max(initial=0) <= ask.reach


@given(st.permutations(range(9)), st.integers(1, 4), st.integers(0, 511))
def test_whoever_wants_to_go_too_far_goes_as_far_as_she_can(wanted, reach, free):
    now = np.arange(9)
    far = np.where([free >> k & 1 for k in range(9)], 9, reach)
    got = within_reach(now, np.array(wanted), far)
    assert sorted(got) == list(range(9))
    assert (np.abs(got - now) <= far).all()
    if np.abs(np.array(wanted) - now).max() <= reach:
        assert list(got) == list(wanted)


def test_a_way_is_made_no_steeper_than_it_may_be():
    way = np.array([[0.0], [0.0], [10.0], [10.0]])
    assert np.abs(np.diff(eased(way, 3), axis=0)).max() <= 3 + 1e-9
    assert (eased(way, 20) == way).all()


def test_what_units_can_show_is_shown_as_it_is():
    grid = [[0, 0, 2, 1, 1], [0, 2, 0, 1, 1], [2, 0, 0, 1, 1]]
    ask = ask_for(grid, [2, 2, 1])
    assert wrong_cells(ask, preview(ask)) == 0
    assert (preview(ask) == grid).all()


def test_more_than_there_are_is_said_for_each_band():
    wanted, beyond = beyond_counts(ask_for([[2, 2, 2, 1], [0, 0, 1, 2]], [2, 1, 1]))
    assert wanted.tolist() == [[0, 1, 3], [2, 1, 1]]
    assert beyond.tolist() == [[0, 0, 2], [0, 0, 0]]


def test_what_does_not_matter_asks_for_nothing():
    matters = np.ones((2, 4))
    matters[0] = 0
    ask = ask_for([[2, 2, 2, 2], [0, 0, 1, 2]], [2, 1, 1], matters=matters)
    assert beyond_counts(ask)[0][0].tolist() == [0, 0, 0]
    assert ask.weight[0].max() == 0


def test_units_are_shared_out_as_the_picture_asks_and_each_colour_gets_one():
    far = np.ones((10, 3, 12))
    far[:, 0, :9] = far[:, 1, 9:] = 0
    counts = shares(far, np.ones((10, 12)))
    assert sum(counts) == 12
    assert counts[2] == 1
    assert counts[0] > counts[1] >= 2


def test_a_picture_for_a_piece_woven_from_its_top_is_asked_for_half_round():
    chance = np.random.default_rng(5)
    light, matters = chance.random((4, 6, 3)), chance.random((4, 6))
    turned = Cells(light=light[::-1, ::-1], matters=matters[::-1, ::-1])
    means = SimpleNamespace(colours=("#101010", "#e0e0e0"), counts=(3, 3), reach=2,
                            free=(False, False))  # fmt: skip
    top = ask_of(Cells(light=light, matters=matters), means, "top")
    bottom = ask_of(turned, means, "bottom")
    assert np.array_equal(top.far, bottom.far)
    assert np.array_equal(top.matters, bottom.matters)
    assert not np.array_equal(top.far, top.far[:, :, ::-1])

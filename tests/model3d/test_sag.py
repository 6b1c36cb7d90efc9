"""Slack units of the hung model bow out, and are as long as the statics says."""

import numpy as np
import pytest
from hung_samples import example
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.model3d.course import courses_of
from crossfell.model3d.pose import poses_of
from crossfell.model3d.sag import sagged
from crossfell.statics.bow import bow_mm

SAMPLES = 25


def lengths(plane, z):
    points = np.concatenate([plane, z[:, :, None]], axis=2)
    return np.linalg.norm(np.diff(points, axis=1), axis=2).sum(axis=1)


def straight(*chords):
    at = np.linspace(0, 1, SAMPLES)
    return np.array([[(0.0, chord * share) for share in at] for chord in chords])


@settings(max_examples=40, deadline=None)
@given(st.floats(20, 2000), st.floats(0, 0.3), st.floats(-4, 4), st.floats(-4, 4))
def test_a_slack_line_is_as_long_as_it_is(chord, share, one, two):
    at = np.linspace(0, 1, SAMPLES)
    z = np.array([one * np.sin(np.pi * at) + two * np.sin(2 * np.pi * at)])
    plane = straight(chord)
    bowed = sagged(z, plane, np.array([share * chord]))
    assert lengths(plane, bowed) == pytest.approx(lengths(plane, z) + share * chord, rel=1e-9)
    assert np.allclose(bowed[:, [0, -1]], z[:, [0, -1]])


def test_a_plain_bow_rises_as_the_published_parabola():
    """Source: Beer & Johnston, Statics, the shallow parabola; 25 corners shorten it by 0.1 %."""
    bowed = sagged(np.zeros((1, SAMPLES)), straight(300.0), np.array([1.0]))
    assert bowed.max() == pytest.approx(float(bow_mm(np.array(300.0), np.array(1.0))), rel=0.01)


def test_it_bows_to_the_side_on_which_it_lies():
    at = np.linspace(0, 1, SAMPLES)
    z = np.stack([np.sin(np.pi * at), -np.sin(np.pi * at), np.sin(2 * np.pi * at)])
    bowed = sagged(z, straight(100.0, 100.0, 100.0), np.full(3, 2.0))
    assert bowed[0].min() >= 0
    assert bowed[1].max() <= 0
    assert (bowed[2] * z[2] >= -1e-9).all()
    assert np.array_equal(sagged(z, straight(9.0, 9.0, 9.0), np.zeros(3)), z)


@pytest.mark.parametrize("name", ["02-tideline", "03-long-harvest"])
def test_the_hung_model_has_the_slack_of_the_statics(name):
    piece = example(name)
    assert piece.hung.slack.any()
    drawn, hung = courses_of(piece), courses_of(piece, poses_of(piece, hung=True))
    share = np.linspace(0, 1, SAMPLES)[:, None]
    plane = hung.start_mm[:, None] + (hung.end_mm - hung.start_mm)[:, None] * share
    plane[:, :, 0] += hung.aside_mm
    more = lengths(plane, hung.z_mm) - lengths(plane, drawn.z_mm)
    assert np.allclose(more, piece.hung.slack_mm.ravel(), atol=1e-6)
    assert np.allclose(drawn.z_mm[more == 0], hung.z_mm[more == 0])

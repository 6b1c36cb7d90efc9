"""Where ribbons run: on their chords, twisted the right way, with as few corners as may be."""

import numpy as np
from hung_samples import example, small
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from crossfell.model3d.course import courses_of, needed
from crossfell.model3d.ribbons import ribbons_of


@settings(max_examples=30, deadline=None)
@given(
    arrays(np.float64, (3, 12, 3), elements=st.floats(-5, 5, allow_nan=False)),
    st.floats(0.01, 2),
)
def test_what_is_left_out_lies_within_the_tolerance(curve, tolerance):
    kept = needed(curve, tolerance)
    assert kept[:, [0, -1]].all()
    at = np.arange(12)
    for row, keep in zip(curve, kept, strict=True):
        lines = np.column_stack([np.interp(at, at[keep], row[keep, i]) for i in range(3)])
        assert np.linalg.norm(lines - row, axis=1).max() <= tolerance + 1e-9


def test_a_straight_ribbon_needs_only_its_ends():
    courses = courses_of(small(moves=""))
    assert courses.keep(0.1).sum() == 2 * len(courses.span)


def test_a_right_turn_is_a_z_twist():
    """ISO 2: the strands of Z run as the middle stroke of that letter, from low left to high right.

    The edge that comes to the front half way of a right turn is the left one; it ends at the right.
    """
    piece = small(moves="turn 1 right")
    courses = courses_of(piece)
    kept = courses.keep(0.02)
    mesh = ribbons_of(courses, kept)[0]
    rings = mesh.points[: 8 * kept[0].sum()].reshape(-1, 8, 3)
    left = rings[:, 0]  # its left edge, face forward, from the first-woven end
    middle = piece.paths.x_mm[0, 0]
    assert left[0, 0] < middle < left[-1, 0]
    assert left[:, 1].argmax() == len(left) - 1
    assert left[len(left) // 2, 2] > 10
    other = small(moves="turn 1 left")
    courses = courses_of(other)
    mesh = ribbons_of(courses, courses.keep(0.02))[0]
    assert mesh.points[: 8 * kept[0].sum()].reshape(-1, 8, 3)[len(left) // 2, 0, 2] < -10


def test_a_piece_woven_from_its_top_is_the_same_turned_half_round():
    up = courses_of(small(woven="bottom"))
    down = courses_of(small(woven="top"))
    piece = small()
    size = np.array([piece.paths.width_total_mm, piece.paths.height_total_mm])
    assert np.allclose(down.start_mm, size - up.start_mm)
    assert np.array_equal(down.z_mm, up.z_mm)
    one, two = (ribbons_of(c, c.keep(0.1)) for c in (up, down))
    for u in one:
        turned = np.column_stack([size - two[u].points[:, :2], two[u].points[:, 2]])
        assert np.allclose(turned, one[u].points, atol=1e-6)


def test_widths_are_level_and_true():
    piece = example("01-first-sampler")
    courses = courses_of(piece)
    kept = courses.keep(0.1)
    mesh = ribbons_of(courses, kept)[0]
    first = mesh.points[:8]
    assert np.isclose(np.ptp(first[:, 0]), piece.paths.width_mm[0], atol=0.2)

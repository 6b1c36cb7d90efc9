"""A frame says what the eye sees: its three signs are rotations of points in space.

Source: none but geometry; rotations by SciPy, `scipy.spatial.transform.Rotation`. A piece is a box
in space; who looks is put before it by turning the box. Behind the loom she sees the lengths of
warp beyond the reed, where everything is crossed the other way round: the image in a mirror
(docs/decisions/0009).
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from crossfell.base.frame import at_loom, on_wall

WIDE, HIGH = 260.0, 900.0
MIDDLE = np.array([WIDE / 2, HIGH / 2, 0.0])
HALF_ROUND, BEHIND = (Rotation.from_euler(axis, 180, degrees=True).as_matrix() for axis in "zy")
MIRROR = np.diag([-1.0, 1.0, 1.0])
SEEN = {  # a frame, and what it does to points in space: x right, y up, z towards who looks
    "at the loom": (at_loom(9), np.eye(3)),
    "behind the loom": (at_loom(9, behind=True), MIRROR),
    "hung, bottom first": (on_wall(9, "bottom"), np.eye(3)),
    "hung, top first": (on_wall(9, "top"), HALF_ROUND),
    "from behind, bottom first": (on_wall(9, "bottom", behind=True), BEHIND),
    "from behind, top first": (on_wall(9, "top", behind=True), BEHIND @ HALF_ROUND),
}
FRAMES = pytest.mark.parametrize(("frame", "turned"), SEEN.values(), ids=SEEN)
LENGTHS = st.floats(0, 1000, allow_nan=False)


@FRAMES
@given(x=LENGTHS, y=LENGTHS)
def test_points_lie_where_a_turned_box_has_them(frame, turned, x, y):
    seen = turned @ (np.array([x, y, 0.0]) - MIDDLE) + MIDDLE
    assert (frame.x(x, WIDE), frame.y(y, HIGH)) == pytest.approx(tuple(seen[:2]))
    assert frame.down(y, HIGH) == pytest.approx(HIGH - seen[1])


@FRAMES
def test_a_way_aside_and_a_face_are_those_of_the_turned_box(frame, turned):
    assert frame.side(1.0) == pytest.approx((turned @ [1, 0, 0])[0])
    assert frame.ends(1) == pytest.approx((turned @ [1, 0, 0])[0])
    assert frame.face(1) == frame.over(1) == pytest.approx((turned @ [0, 0, 1])[2])


@FRAMES
def test_a_twist_keeps_its_hand_but_in_a_mirror(frame, turned):
    u = np.linspace(0, np.pi, 50)
    edge = np.stack([np.cos(u), u, np.sin(u)]).T @ turned.T  # a helix, as it is seen
    rates = [np.gradient(edge, u, axis=0)]
    for _ in range(2):
        rates.append(np.gradient(rates[-1], u, axis=0))
    middle = [rate[25] for rate in rates]
    torsion = np.linalg.det(np.array(middle))
    plain = -1.0  # of the same helix as it is kept
    assert frame.turn(1) == np.sign(torsion) * plain


@FRAMES
@given(place=st.integers(1, 9), x=LENGTHS, y=LENGTHS, half_turns=st.integers(-4, 4))
def test_a_frame_twice_is_as_it_was(frame, turned, place, x, y, half_turns):
    assert frame.place(frame.place(place)) == place
    assert frame.x(frame.x(x, WIDE), WIDE) == pytest.approx(x, abs=1e-9)
    assert frame.y(frame.y(y, HIGH), HIGH) == pytest.approx(y, abs=1e-9)
    assert frame.turn(frame.turn(half_turns)) == half_turns
    rows = list(range(7))
    assert frame.row(frame.row(rows)) == rows
    assert rows[frame.downwards][frame.downwards] == rows
    back = frame.then(frame)
    assert (back.across, back.up, back.deep) == (1, 1, 1)


@FRAMES
def test_places_rows_and_bands_agree_with_points(frame, turned):
    centres = [frame.x((place - 0.5) * WIDE / 9, WIDE) for place in range(1, 10)]
    seen = [round(x / WIDE * 9 + 0.5) for x in centres]
    assert [frame.place(place) for place in range(1, 10)] == seen
    assert [frame.place(place) for place in frame.row(range(1, 10))] == list(range(1, 10))
    assert frame.block(2, 4) == tuple(sorted((seen[1], seen[3])))
    y = [frame.y(band * 100.0, HIGH) for band in range(5)]
    assert y[frame.downwards] == sorted(y, reverse=True)
    assert (y[frame.top], y[frame.foot]) == (max(y), min(y))
    for span in range(4):
        assert y[frame.above(span)] > y[frame.below(span)]
        assert {frame.above(span), frame.below(span)} == {span, span + 1}

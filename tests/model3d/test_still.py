"""The still: shadow where similar triangles say, over in front of under, the same each time."""

import numpy as np
import pytest
from hung_samples import example, small
from PIL import Image, ImageDraw

from crossfell.draft.reader import read_draft
from crossfell.model3d.light import SphereLamp, magnification, on_wall, shadow_of
from crossfell.model3d.raster import covered
from crossfell.model3d.still import still
from crossfell.piece import Piece


def test_a_shadow_falls_where_similar_triangles_put_it():
    """Derived: lamp 2 m off and 2.5 m up, thread 0.1 m off at 1.5 m: t 1.052632, 1.447368 m."""
    lamp = SphereLamp(0.0, 2500.0, 2000.0, 50.0)
    assert magnification(lamp, np.array(100.0)) == pytest.approx(1.052632, abs=1e-6)
    x, y = on_wall(lamp, np.array([0.0, 1500.0, 100.0]))
    assert (x, y) == (0.0, pytest.approx(1447.368, abs=1e-3))


def _board(wide):
    corners = [[-wide / 2, 0, 100], [wide / 2, 0, 100], [wide / 2, 400, 100], [-wide / 2, 400, 100]]
    board = np.array(corners, dtype=float)
    return np.stack([board[[0, 1, 2]], board[[0, 2, 3]]])


def test_the_penumbra_is_as_wide_as_the_lamp_makes_it():
    """Derived: lamp 200 mm wide, 2 m off, board 100 mm off: penumbra 200·100/1900 = 10.53 mm."""
    shadow = shadow_of(_board(200), SphereLamp(0.0, 200.0, 2000.0, 200.0), 100.0, 0.5)
    x = np.linspace(80, 130, 401)
    dark = shadow.at(x, np.full_like(x, 200.0))
    edge = 100 * 2000 / 1900
    assert np.interp(-0.5, -dark, x) == pytest.approx(edge, abs=0.6)
    soft = x[(dark > 0.01) & (dark < 0.99)]
    assert np.ptp(soft) == pytest.approx(10.53, abs=1.5)


def test_a_thread_thinner_than_its_penumbra_has_no_full_shadow():
    """Derived: at 100 mm a thread of 4 mm throws at most 4·2000/(200·100) = 0.4 of a square lamp.

    A round lamp darkens at most 4/π times as much in the middle.
    """
    shadow = shadow_of(_board(4), SphereLamp(0.0, 200.0, 2000.0, 200.0), 100.0, 0.25)
    darkest = shadow.at(np.zeros(1), np.full(1, 200.0))[0]
    assert 0.4 < darkest < 0.4 * 4 / np.pi + 0.03


def test_pixels_under_triangles_are_those_of_another_rasteriser():
    """Against Pillow's polygons: the same but for pixels on the edge."""
    rng = np.random.default_rng(3)
    for _ in range(10):
        corners = rng.uniform(0, 60, (3, 2))
        mine = np.zeros((64, 64), dtype=bool)
        spots = covered(corners[None], 64, 64)
        mine[spots.row, spots.column] = True
        big = Image.new("L", (640, 640))
        ImageDraw.Draw(big).polygon([tuple(10 * c) for c in corners], fill=255)
        share = np.asarray(big.resize((64, 64), Image.Resampling.BOX)) / 255
        assert mine[share > 0.95].all()
        assert not mine[share < 0.05].any()


def test_over_is_in_front_of_under():
    for moves, front in (("1 over 2", "red"), ("1 under 2", "blue")):
        piece = small(moves=moves, order="r b")
        text = piece.draft.text.replace("5 blue, 5 red", "10 blue")
        picture = still(Piece(read_draft(text)), width_px=240, tallest_px=320).astype(int)
        red, blue = (picture[..., i] - picture[..., 2 - i] > 40 for i in (0, 2))
        rows = np.flatnonzero(red.any(axis=1) & blue.any(axis=1))
        low, high = rows.min(), rows.max()
        middle = (low + high) // 2
        count = {"red": red[middle].sum(), "blue": blue[middle].sum()}
        other = "blue" if front == "red" else "red"
        assert count[front] > 2 * count[other]


def test_the_same_piece_gives_the_same_picture_of_the_size_asked_for():
    one = still(small(), width_px=160, tallest_px=400)
    assert np.array_equal(one, still(small(), width_px=160, tallest_px=400))
    assert one.shape[1] <= 160
    assert one.shape[0] <= 400
    assert max(one.shape[1] / 160, one.shape[0] / 400) > 0.97


def test_there_is_a_shadow_beside_the_piece():
    picture = still(example("01-first-sampler"), width_px=300, tallest_px=500).astype(int)
    grey = (np.ptp(picture, axis=2) < 16) & (picture.mean(axis=2) < 190)
    right = grey[:, picture.shape[1] * 3 // 4 :]
    assert right.sum() > 200

"""A painted cell says which yarn she means; a picture can be moved under the grid."""

import io

import numpy as np
import pytest
from PIL import Image

from crossfell.draft.reader import read_draft
from crossfell.search.sketch.framed import PictureBox, framed, light_of
from crossfell.search.sketch.laying import EMPTY
from crossfell.search.sketch.painted import (
    ANY,
    can_be,
    painted_ask,
    painted_from,
    ribbons_of,
    shared_out,
)
from crossfell.search.sketch.preview import preview
from crossfell.search.sketch.wishes import Wishes, means_with

COLOURS = ("#a85432", "#2b3a4a")


def means(yarns="rust #a85432 2, slate #2b3a4a 6", bands=6, gaps=0):
    wishes = Wishes(yarns=yarns, places=8, bands=bands, gaps=gaps)
    return means_with(wishes, (read_draft(""), "", None))


def diagonal(bands=6):
    """Two rust units that go from the upper left to the right, one place in each span."""
    cells = np.ones((bands, 8), dtype=int)
    for row in range(bands):
        cells[row, row : row + 2] = 0
    return cells


@pytest.mark.parametrize("woven", ["bottom", "top"])
def test_what_units_can_show_is_shown_as_it_was_painted(woven):
    has = means()
    ask = painted_ask(diagonal(), has, has.counts, woven)
    shown = preview(ask)
    ribbons = ribbons_of(ask, shown, has.front, woven)
    assert np.array_equal(np.array(ribbons.colours)[ribbons.rows], diagonal())
    assert can_be(ask, shown)


def test_ribbons_go_from_row_to_row_with_the_front_yarn_last():
    has = means(bands=6)
    ask = painted_ask(diagonal(), has, has.counts, "bottom")
    ribbons = ribbons_of(ask, preview(ask), has.front, "bottom")
    assert len(ribbons.layers) == 5
    for layer in ribbons.layers:
        assert sorted(layer) == list(range(8))
        assert [ribbons.colours[unit] for unit in layer[-2:]] == [0, 0]


def test_bare_wall_bears_no_unit():
    has = means("rust #a85432 2, slate #2b3a4a 4", gaps=2)
    cells = diagonal()
    cells[:, 6:] = 2
    ask = painted_ask(cells, has, has.counts, "bottom")
    ribbons = ribbons_of(ask, preview(ask), has.front, "bottom")
    assert ((ribbons.rows == EMPTY).sum(axis=1) == 2).all()
    assert len(ribbons.colours) == 6


def test_two_yarns_that_look_alike_stay_two():
    has = means("rust #a85432 2, clay #a85433 6")
    ask = painted_ask(diagonal(), has, has.counts, "bottom")
    assert np.array_equal(preview(ask)[::-1], diagonal())


def test_what_does_not_matter_asks_for_nothing():
    cells = np.full((6, 8), ANY)
    cells[:, 0] = 0
    assert shared_out(cells, 2) == (7, 1)
    cells[:, 1:4] = 1
    assert shared_out(cells, 2) == (2, 6)


def leap(shown):
    """All rust units at the left in the first band, at the right in the others."""
    far = shown.copy()
    far[0] = [0, 0, 1, 1, 1, 1, 1, 1]
    far[1:] = [1, 1, 1, 1, 1, 1, 0, 0]
    return far


@pytest.mark.parametrize("wrong", [lambda s: s[:, :7], lambda s: s + 2, np.zeros_like, leap])
def test_what_units_cannot_do_is_seen(wrong):
    has = means()
    ask = painted_ask(diagonal(), has, has.counts, "bottom")
    assert not can_be(ask, wrong(preview(ask)))


def test_units_are_shared_out_by_area_and_nobody_goes_without():
    cells = np.zeros((5, 10), dtype=int)
    cells[:, 4:] = 1
    assert shared_out(cells, 2) == (4, 6)
    cells[0, 0] = 2
    assert shared_out(cells, 3) == (3, 6, 1)


def picture(size=(80, 60)):
    """Left half rust, right half slate."""
    image = Image.new("RGB", size, COLOURS[0])
    image.paste(COLOURS[1], (size[0] // 2, 0, *size))
    out = io.BytesIO()
    image.save(out, "PNG")
    return light_of(out.getvalue(), "halves.png")


def test_a_picture_is_painted_where_it_lies():
    whole = painted_from(framed(picture(), 6, 8, PictureBox()), COLOURS)
    assert (whole[:, :4] == 0).all()
    assert (whole[:, 4:] == 1).all()
    moved = painted_from(
        framed(picture(), 6, 8, PictureBox(left=0.5, top=0.5, width=1, height=1)), COLOURS
    )
    assert (moved[:3] == ANY).all()
    assert (moved[:, :4] == ANY).all()
    assert (moved[3:, 4:] == 0).all()
    larger = painted_from(
        framed(picture(), 6, 8, PictureBox(left=-0.5, width=2, height=2)), COLOURS
    )
    assert (larger[:, :4] == 0).all()
    assert (larger[:, 4:] == 1).all()


def test_what_is_no_picture_gets_a_sentence():
    assert "no PNG, JPEG, WebP or SVG" in light_of(b"words", "letter.txt").says

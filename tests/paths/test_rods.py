"""Rods run from the outermost units that they serve to the other, and the overhang."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossfell.base.notes import Severity
from crossfell.draft.reader import read_draft
from crossfell.papers.labels import labels_of
from crossfell.paths.rods import rods_on_wall_mm
from crossfell.piece import Piece
from small_piece import small_draft

MOVED = ("shift 4 right 12 mm", "shift 4 left 12 mm")  # units are 25 wide and 28 apart


def made(*spans, cut="", **how):
    """A piece with `rod_cut` as given, for all bands."""
    text = small_draft(*(spans or MOVED), **how)
    return Piece(read_draft(text.replace("[[span]]", f"{cut}\n[[span]]", 1)))


def ends(piece):
    """Both ends of each rod."""
    return piece.paths.rod_ends_mm


def test_all_are_alike_from_the_outermost_unit_at_any_band_to_the_other():
    """Edges at 14 - 12.5 and, where it stands out, at 98 + 12 + 12.5; 15 mm of overhang."""
    assert ends(made()) == pytest.approx(np.array([(1.5 - 15, 122.5 + 15)] * 3))


def test_each_is_as_long_as_its_own_band_is_wide():
    still, out = (-13.5, 110.5 + 15), (-13.5, 122.5 + 15)
    assert ends(made(cut='rod_cut = "each"')) == pytest.approx(np.array([still, out, still]))


def test_a_given_length_lies_about_the_middle_of_its_bands():
    middle = (1.5 + 122.5) / 2
    assert ends(made(cut="rod_cut = 150")) == pytest.approx(
        np.array([(middle - 75, middle + 75)] * 3)
    )


def test_one_band_can_have_a_rod_of_its_own_length():
    piece = made(cut="[band.last]\nrod_cut = 160")
    assert [piece.paths.rod_mm(b) for b in range(3)] == pytest.approx([151, 151, 160])
    (need,) = piece.amounts.rods
    assert sorted(need.pieces) == pytest.approx([151, 151, 160])


def test_units_in_the_middle_of_many_places_have_short_rods():
    """Four units in the middle of ten places: 3 × 28 + 25 wide, and the overhang."""
    piece = made("4 over 5", order="- - - a*4 - - -")
    assert piece.paths.rod_mm(0) == pytest.approx(109 + 30)


def test_a_unit_beyond_its_rod_is_an_error_at_the_line_that_cuts_it():
    piece = made(cut="rod_cut = 115")
    (note, *_) = [n for n in piece.notes if n.code == "beyond-the-rod"]
    assert note.severity == Severity.ERROR
    assert note.facts["unit"] == "a1"
    line = piece.draft.text.splitlines()[note.where.line - 1]
    assert line == "rod_cut = 115"


@pytest.mark.parametrize(("raw", "says"), [('"long"', '"alike" or "each"'), ("0", "more than")])
def test_what_is_no_length_is_told(raw, says):
    (note, *_) = made(cut=f"rod_cut = {raw}").draft.notes
    assert says in str(note.facts)


@given(st.sampled_from(["alike", "each", "120", "150", "200"]), st.sampled_from(["top", "bottom"]))
def test_woven_from_the_top_is_the_mirror_of_the_bottom(cut, end):
    said = f'"{cut}"' if cut.isalpha() else cut
    text = small_draft(*MOVED).replace('"Low Water"', f'"Low Water"\nwoven_from = "{end}"')
    piece = Piece(read_draft(text.replace("[[span]]", f"rod_cut = {said}\n[[span]]", 1)))
    wide, there = piece.paths.width_total_mm, rods_on_wall_mm(piece.draft, piece.paths)
    for (a, b), (left, right) in zip(ends(piece).tolist(), there.tolist(), strict=True):
        assert left < right
        turned = (wide - b, wide - a) if end == "top" else (a, b)
        assert (left, right) == pytest.approx(turned)


def test_labels_say_the_length_of_their_own_rod():
    piece = made(cut='rod_cut = "each"')
    says = {label.name: label.lines[0] for label in labels_of(piece) if label.thing == "rod"}
    assert says == {"1": "steel 3 mm, 139 mm", "2": "steel 3 mm, 151 mm", "3": "steel 3 mm, 139 mm"}


def test_the_top_rod_of_a_piece_to_one_side_hangs_level_between_its_cords():
    """Units to the left of empty places: its rod lies over them, and so hangs without a tilt."""
    piece = made("1 over 2", order="a*4 - - - -")
    assert piece.hung.converged
    assert piece.hung.tilt_rad == pytest.approx([0, 0], abs=2e-4)

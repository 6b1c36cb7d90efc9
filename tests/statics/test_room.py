"""Room on the wall: points, top rod and foot against its free height and width."""

import pytest

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.statics.room import needs_mm
from small_piece import small_draft


def codes(wall="{ width = 2000, height = 2000 }", hang="", move="1 over 2"):
    text = small_draft(move).replace("[yarn.slate]", f"wall = {wall}\n[yarn.slate]")
    made = Piece(read_draft(text.replace("[band]", f"[hang]\n{hang}\n[band]")))
    return made, {note.code for note in made.notes} & {"no-room", "tight-room", "touches-the-floor"}


def test_points_need_room_up_to_the_millimetre():
    made, found = codes()
    assert not found
    wide, high = needs_mm(made.draft, made.paths)
    assert codes(f"{{ height = {high - 1} }}")[1] == {"no-room"}
    assert codes(f"{{ height = {high + 1} }}")[1] == {"tight-room"}
    assert not codes(f"{{ height = {high + 31} }}")[1]
    assert codes(f"{{ width = {wide - 1} }}")[1] == {"no-room"}


def test_height_is_floor_piece_and_cord():
    """Three lengths added up by hand: the rod's middle, half a band below the upper edge."""
    made, _ = codes(hang="above_floor = 500\ncord_length = 250")
    last = made.paths.band_top_mm[-1] - made.paths.band_bottom_mm[-1]
    want = 500 + made.paths.height_total_mm - last / 2 + 250
    assert needs_mm(made.draft, made.paths)[1] == pytest.approx(want)
    rail, _ = codes(hang="above_floor = 500\nrail = true")
    assert needs_mm(rail.draft, rail.paths)[1] == pytest.approx(want - 250)


def test_a_piece_that_turns_over_can_reach_the_floor():
    assert codes(hang="cords = [10, 40]\nabove_floor = 5")[1] == {"touches-the-floor"}
    assert not codes(hang="above_floor = 5")[1]

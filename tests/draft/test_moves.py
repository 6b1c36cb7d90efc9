"""Each form of a move reads as the language page says, and what is none is pointed at."""

from __future__ import annotations

import pytest

from crossfell.draft.moves import (
    Block,
    CrossText,
    FigureText,
    PlaitText,
    ShiftText,
    TurnText,
    Unread,
    parsed,
)


def one(text):
    (move,) = parsed(text)
    return move


def block(first, last, text, part):
    return Block(first, last, text.index(part), len(part))


def test_a_crossing_names_the_block_that_passes_over_first():
    text = "3-4 over 5-6"
    assert one(text) == CrossText(block(3, 4, text, "3-4"), True, block(5, 6, text, "5-6"), 0, 12)
    assert not one("2 under 3-5").over
    assert one("5-6 over 3-4").first.first == 5


@pytest.mark.parametrize(
    ("text", "half_turns", "as_one"),
    [
        ("turn 7 right", 1, False), ("turn 7 left", -1, False), ("turn 7 right twice", 2, False),
        ("turn 7 left 3 times", -3, False), ("roll 3-5 right", 1, True),
        ("roll 3-5 left twice", -2, True),
    ],
)  # fmt: skip
def test_turns_to_the_right_count_up(text, half_turns, as_one):
    assert one(text).half_turns == half_turns
    assert one(text).as_one is as_one
    assert isinstance(one(text), TurnText)


@pytest.mark.parametrize(
    ("text", "places", "length"),
    [
        ("shift 1-4 right 2", 2, 0.0), ("shift 1-4 left 2", -2, 0.0),
        ("shift 1-4 right 12 mm", 0, 12.0), ("shift 1 left 1.5cm", 0, -15.0),
        ("shift 1 right 1/2 in", 0, 12.7), ("shift 1 right 1 1/4 in", 0, 31.75),
    ],
)  # fmt: skip
def test_a_shift_goes_by_places_or_by_a_length(text, places, length):
    assert isinstance(one(text), ShiftText)
    assert one(text).places == places
    assert one(text).length_mm == pytest.approx(length)


def test_a_plait_and_a_figure_with_its_words_in_any_order():
    assert one("plait 3-8") == PlaitText(Block(3, 8, 6, 3), 0, 9)
    assert one("eye at 5") == FigureText("eye", 5, False, False, False, 0, 8)
    assert one("sea-eye at 5 backwards mirrored").mirrored
    assert one("sea-eye at 5 backwards mirrored").backwards
    assert one("wäve2 at 15 reversed").reversed


def test_moves_stand_in_a_row_with_commas_and_remarks():
    moves = parsed("1 over 2, turn 3 right , plait 4-6,  # and so on, 7 over 8")
    assert [type(move) for move in moves] == [CrossText, TurnText, PlaitText]
    assert [move.column for move in moves] == [0, 10, 25]
    assert parsed("") == parsed("   # nothing") == ()


@pytest.mark.parametrize(
    ("text", "found", "says"),
    [
        ("1-3 oevr 4-6", "oevr", "did you mean `over`?"),
        ("1-3 Over 4-6", "Over", "did you mean `over`?"),
        ("turn 7 rihgt", "rihgt", "did you mean `right`?"),
        ("trun 7 right", "7", "`at`"),
        ("1-3 over", "the end of the line", "a place"),
        ("1-3", "the end of the line", "`over`"),
        ("1,2 over 3", ",", "`over`"),
        ("eye at five", "five", "a place"),
        ("shift 1 right", "the end of the line", "a length"),
        ("roll 3-5", "the end of the line", "did you mean" if False else "`left`"),
        ("1 over 2 and 3 over 4", "and", "`,`"),
    ],
)
def test_what_is_no_move_is_pointed_at_with_what_could_stand_there(text, found, says):
    read = parsed(text)
    assert isinstance(read, Unread)
    assert read.found == found
    assert says in read.expected
    if found in text:
        assert text[read.column : read.column + read.length] == found

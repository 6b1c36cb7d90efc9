"""Each form of a move reads as the language page says, and what is none is pointed at."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

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
    ("text", "found", "word"),
    [
        ("1-3 oevr 4-6", "oevr", "over"), ("1-3 Over 4-6", "Over", "over"),
        ("turn 7 rihgt", "rihgt", "right"), ("trun 7 right", "trun", "turn"),
        ("1 over 2, turn 7 rihgt twice", "rihgt", "right"), ("eye at 4 miror", "miror", "mirrored"),
    ],
)  # fmt: skip
def test_a_misspelt_word_is_pointed_at(text, found, word):
    read = parsed(text)
    assert isinstance(read, Unread)
    assert text[read.column : read.column + read.length] == read.found == found
    assert read.expected == f"did you mean `{word}`?"
    assert parsed(text.replace(found, word))


@pytest.mark.parametrize(
    ("slip", "meant"),
    [
        ("1–2 over 3", "1-2 over 3"), ("turn right 7", "turn 7 right"), ("turn 7 right 2x", "turn 7 right 2 times"),
        ("shift 3 left by 1", "shift 3 left 1"), ("shift 3 right 1,5 mm", "shift 3 right 1.5 mm"),
        ("shift 3 right 2 places", "shift 3 right 2"), ("shift 3 1 right", "shift 3 right 1"),
        ("eye 5", "eye at 5"), ("eye @ 5 mirrored", "eye at 5 mirrored"), ("eye mirrored at 5", "eye at 5 mirrored"),
        ("3 over 4; 5 over 6", "3 over 4, 5 over 6"), ("3 over 4 5 over 6", "3 over 4, 5 over 6"),
        ("1 over 2 and 3 over 4", "1 over 2, 3 over 4"), ("roll 3 to 5 right", "roll 3-5 right"),
        ("cross 1-2 over 3-4", "1-2 over 3-4"), ("(1-2) over 3", "1-2 over 3"), ("1 over 2.", "1 over 2"),
        ("Turn 7 Right", "turn 7 right"), ("Turn Right 3 to 5", "turn 3-5 right"),
    ],
)  # fmt: skip
def test_a_usual_slip_is_undone_in_the_guess(slip, meant):
    read = parsed(f"plait 1-4, {slip}  # so")
    assert isinstance(read, Unread)
    assert (read.column, read.found) == (11, slip)
    assert read.expected == f"did you mean `{meant}`?"
    assert parsed(meant)


@pytest.mark.parametrize(
    ("text", "found", "says"),
    [
        ("1-3 over", "the end of the line", "a crossing is written"), ("1-3", "the end of the line", "a crossing"),
        ("1,2 over 3", ",", "a crossing is written"), ("shift 1 right", "the end of the line", "a shift is written"),
        ("roll 3-5", "the end of the line", "a roll is written"), ("turn 7 about", "about", "a turn is written"),
        ("eye at five", "five", "a figure is laid by"), ("plait 3-8 twice", "twice", "a plait is written"),
        ("swap 3 4", "swap", "`swap` is no word of the moves"), ("a3 over b1", "a3", "not units"),
        ("2 over a3", "a3", "moves name places"), ("over 3", "3", "a crossing is written"),
        ("plait 3", "plait 3", "two places or more"), ("shift 1 left 0", "shift 1 left 0", "goes somewhere"),
        ("turn 1 right 0 times", "turn 1 right 0 times", "1 to 1000 times"), ("e at 1 reversed reversed", "e at 1 reversed reversed", "twice"),
    ],
)  # fmt: skip
def test_what_cannot_be_guessed_is_told_how_it_is_written(text, found, says):
    read = parsed(text)
    assert isinstance(read, Unread)
    assert read.found == found
    assert says in read.expected


@settings(max_examples=60, deadline=None)
@given(st.text("0123456789-–,. #;()ovrundetlfigshpaxby", max_size=24))
def test_a_guess_is_always_something_that_can_be_read(text):
    """Whatever is offered between `did you mean` and its question mark reads, once written."""
    read = parsed(text)
    if not isinstance(read, Unread):
        return
    if found := re.fullmatch(r"did you mean `(.*)`\?", read.expected):
        end = read.column + read.length
        start = text.rfind(",", 0, read.column) + 1
        stop = next((k for k in range(end, len(text)) if text[k] in ",#"), len(text))
        assert not isinstance(parsed(text[start : read.column] + found[1] + text[end:stop]), Unread)

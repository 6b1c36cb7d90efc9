"""Each form of a move reads as the language page says, and what is none is pointed at."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.base.notes import NOWHERE
from crossfell.draft.expand import BareLength, Expansion
from crossfell.draft.forms import Block
from crossfell.draft.model import Shift
from crossfell.draft.moves import Unread, parsed
from crossfell.draft.whereabouts import Passage


def one(text):
    (move,) = parsed(text)
    return move


def plain(text, measure="mm", pitch=28.0):
    """The crossings, turns, rolls and shifts of a line in a warp of 40 places."""
    expansion = Expansion({}, 40, None, BareLength(measure, pitch))
    (moves,) = expansion.spans([Passage(text, NOWHERE)])
    return list(moves), [note.code for note in expansion.notes]


def test_a_crossing_names_the_block_that_passes_over_first():
    move = one("3-4 over 5-6")
    assert (move.kind.name, move["over"]) == ("crossing", True)
    assert move.blocks == (Block(3, 4), Block(5, 6))
    assert [(b.column, b.length) for b in move.blocks] == [(0, 3), (9, 3)]
    assert (move.column, move.length) == (0, 12)
    assert not one("2 under 3-5")["over"]
    assert one("5-6 over 3-4")["block"].first == 5


def test_a_round_goes_out_on_one_side_and_back_on_the_other():
    def crossings(text):
        return [
            (cross.first, cross.middle, cross.last, cross.left_over) for cross in plain(text)[0]
        ]

    assert crossings("4 round 5-7") == [(4, 5, 7, True), (4, 7, 7, True)]
    assert one("4 round 5-7 over") == one("4 round 5-7")
    assert crossings("4 round 5-7 under") == [(4, 5, 7, False), (4, 7, 7, False)]
    assert crossings("5-7 round 4") == [(4, 5, 7, False), (4, 7, 7, False)]
    assert plain("4 round 6")[1] == ["not-neighbours"]


@pytest.mark.parametrize(
    ("text", "half_turns", "as_one"),
    [
        ("turn 7 right", 1, False), ("turn 7 left", -1, False), ("turn 7 right twice", 2, False),
        ("turn 7 left 3 times", -3, False), ("roll 3-5 right", 1, True),
        ("roll 3-5 left twice", -2, True),
    ],
)  # fmt: skip
def test_turns_to_the_right_count_up(text, half_turns, as_one):
    ((move,), _) = plain(text)
    assert move.half_turns == half_turns
    assert type(move).__name__ == ("Roll" if as_one else "Turn")


@pytest.mark.parametrize(
    ("text", "places", "length"),
    [
        ("shift 1-4 right 2 places", 2, 0.0), ("shift 1-4 left 1 place", -1, 0.0),
        ("shift 1-4 right half a place", 0, 14.0), ("shift 1-4 left half a  place", 0, -14.0),
        ("shift 1-4 right 12 mm", 0, 12.0), ("shift 1 left 1.5cm", 0, -15.0),
        ("shift 1 right 1/2 in", 0, 12.7), ("shift 1 right 1 1/4 in", 0, 31.75),
    ],
)  # fmt: skip
def test_a_shift_goes_by_places_or_by_a_length(text, places, length):
    ((move,), notes) = plain(text)
    assert isinstance(move, Shift)
    assert notes == []
    assert move.places == places
    assert move.length_mm == pytest.approx(length)


@pytest.mark.parametrize(
    ("measure", "pitch", "codes"),
    [
        ("mm", 28.0, ["number-of-places"]), ("in", 28.0, ["places-or-length"] * 2),
        ("cm", 28.0, ["places-or-length"] * 2), ("in", 25.4, ["number-of-places"]),
    ],
)  # fmt: skip
def test_a_bare_number_is_places_with_a_word_or_refused(measure, pitch, codes):
    """Refused where `measure` reads it as another length than so many places."""
    moves, notes = plain("shift 1 right 2, shift 5 left 1", measure, pitch)
    assert [move.places for move in moves] == [2, -1]
    assert notes == codes


def test_a_plait_and_a_figure_with_its_words_in_any_order():
    assert one("plait 3-8").blocks == (Block(3, 8),)
    assert (one("eye at 5").figure, one("eye at 5")["place"]) == ("eye", 5)
    assert one("sea-eye at 5 backwards mirrored")["modifiers"] == ("backwards", "mirrored")
    assert one("wäve2 at 15 reversed").figure == "wäve2"
    assert [one(f"{name} at 2").figure for name in ("round", "every", "to", "half")]


@pytest.mark.parametrize(
    ("text", "starts"),
    [
        ("eye at 1 every 4 to 13", [1, 5, 9, 13]), ("eye at 13 every 4 to 1 mirrored", [13, 9, 5, 1]),
        ("eye at 3", [3]), ("eye at 3 every 2 to 5", [3, 5]),
    ],
)  # fmt: skip
def test_a_figure_is_laid_again_and_again_across(text, starts):
    assert list(one(text).starts) == starts


def test_moves_stand_in_a_row_with_commas_and_remarks():
    moves = parsed("1 over 2, turn 3 right , plait 4-6,  # and so on, 7 over 8")
    assert [move.kind.name for move in moves] == ["crossing", "turn", "plait"]
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
        ("shift 3 right 1/2 place", "shift 3 right half a place"), ("shift 3 1 right", "shift 3 right 1"),
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
        ("eye at five", "five", "a figure is written"), ("plait 3-8 twice", "twice", "a plait is written"),
        ("swap 3 4", "swap", "`swap` is no word of the moves"), ("a3 over b1", "a3", "not units"),
        ("2 over a3", "a3", "moves name places"), ("over 3", "3", "a crossing is written"),
        ("plait 3", "plait 3", "two places or more"), ("shift 1 left 0", "shift 1 left 0", "goes somewhere"),
        ("turn 1 right 0 times", "turn 1 right 0 times", "1 to 1000 times"), ("e at 1 reversed reversed", "e at 1 reversed reversed", "twice"),
        ("e at 1 every 4 to 30", "e at 1 every 4 to 30", "comes to 29 and 33, not 30"),
        ("e at 9 every 4 to 2", "e at 9 every 4 to 2", "comes to 1 and"), ("4 round", "the end of the line", "a round is written"),
        ("e at 1 every 0 to 1", "e at 1 every 0 to 1", "again some places on"),
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

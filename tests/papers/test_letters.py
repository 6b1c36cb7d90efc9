"""Letters: large enough for the distance, all of them printable, what is missing is said."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.papers.letters import (
    all_printable,
    breakable,
    cap_height_mm,
    letter_notes,
    missing,
    printable,
    size_for_mm,
)


@pytest.mark.parametrize(
    ("distance", "minutes", "height"),
    [(1500, 16, 6.98), (1500, 20, 8.73), (1500, 22, 9.60), (600, 22, 3.84), (3000, 22, 19.20)],
)
def test_letters_are_as_high_as_the_visual_angle_wants(distance, minutes, height):
    """Published: ISO 9241-3 text, as quoted; NUREG-0700 r2 1.3.1-4. Heights are derived."""
    assert cap_height_mm(distance, minutes) == pytest.approx(height, abs=0.005)


def test_forty_point_letters_serve_a_metre_and_a_half():
    assert size_for_mm(1500) / (25.4 / 72) == pytest.approx(40.6, abs=0.1)


def test_a_missing_letter_is_said_by_name():
    assert printable("a 🧵 b") == "a [spool of thread] b"
    assert missing("a 🧵 🧵 ⵣ") == ("🧵", "ⵣ")
    assert printable("👩‍🎨").replace("\u200d", "") == "[woman][artist palette]"


@given(st.text(max_size=40))
def test_what_is_printed_has_a_glyph_for_every_letter(text):
    assert missing(printable(text)) == ()


@pytest.mark.parametrize("text", ["Ebbe", "Čaj à l’œuvre", "Ελιά", "Прибой", "שלום", "مد"])
def test_usual_scripts_print_as_they_are(text):
    assert printable(text) == text


def test_blanks_of_any_width_stay_blanks():
    assert printable("1\u202f244.07") == "1\u00a0244.07"
    assert missing("1\u202f244.07") == ()


def test_numbers_and_names_of_data_are_kept():
    data = {"a": ["🧵", 1.5, None, True], "b": {"c": ("x",)}}
    assert all_printable(data) == {"a": ["[spool of thread]", 1.5, None, True], "b": {"c": ["x"]}}


def test_a_note_tells_which_letters_are_missing():
    draft = read_draft('[piece]\ntitle = "Low 🧵 Water"\n')
    (note,) = letter_notes(draft)
    assert note.code == "letter-not-shipped"
    assert "U+1F9F5 spool of thread" in note.message
    assert note.where.line == 2
    assert letter_notes(read_draft('[piece]\ntitle = "Low Water"\n')) == ()


def test_a_word_that_no_line_has_room_for_can_be_broken():
    assert breakable("W" * 40) == "W" * 40
    parts = breakable(f"a {'W' * 200} b").split("\u200b")
    assert max(map(len, parts)) <= 8
    assert "".join(parts) == f"a {'W' * 200} b"

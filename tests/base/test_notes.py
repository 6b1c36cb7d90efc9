"""A message shows the line, the spot and what would be right, whatever stands in the text."""

from __future__ import annotations

import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.base.notes import (
    Where,
    advice,
    doubt,
    error,
    most_serious_first,
    rendered,
    seen,
)
from crossfell.base.prose import PROSE

FACTS = {"unit": "a3", "place": 7, "mover": 6}


def note(where=Where("d.toml", 2, 11, 15)):  # noqa: B008
    return error("passes-a-unit", where, **FACTS)


def test_a_message_is_rendered_with_its_line_and_caret():
    text = '[[span]]\nmoves  = "shift 6 right 1"\n'
    assert rendered(note(), text) == (
        "error[passes-a-unit]: unit a3 stands in the way of this shift\n"
        " --> d.toml:2:11\n"
        "  |\n"
        '2 | moves  = "shift 6 right 1"\n'
        "  |           ^^^^^^^^^^^^^^^\n"
        "  = unit a3 lies in place 7\n"
        "  = say which passes in front: `6 over 7` or `6 under 7`"
    )


def test_a_note_without_a_line_has_no_excerpt():
    assert "|" not in rendered(note(Where("d.toml")), "text")
    assert "-->" not in rendered(note(Where()), "text")


def test_the_gutter_grows_with_the_line_number():
    shown = rendered(note(Where("d.toml", 100, 1, 1)), "\n" * 99 + "x")
    assert "\n100 | x\n    | ^\n" in shown


def test_the_caret_stands_below_wide_and_joined_letters():
    """Two columns for 機, none for the accent that joins the letter before it."""
    shown = rendered(note(Where("d", 1, 6, 1)), 'x = "機e\u0301w"').split("\n")
    text = rendered(note(Where("d", 1, 9, 1)), 'x = "機e\u0301w"').split("\n")
    assert shown[4].index("^") - len("  | ") == 5
    assert text[4].index("^") - len("  | ") == 8


def test_a_long_line_is_cut_round_the_spot():
    line = "#" * 500 + "HERE" + "#" * 500
    shown = rendered(note(Where("d", 1, 501, 4)), line).split("\n")
    assert max(map(len, shown)) < 130
    start = shown[4].index("^^^^")
    assert shown[3][start : start + 4] == "HERE"
    assert shown[3].startswith("1 | …")


@settings(max_examples=80, deadline=None)
@given(st.text(max_size=60), st.integers(0, 5), st.integers(0, 70), st.integers(0, 70))
def test_no_text_and_no_place_breaks_a_message(text, line, column, length):
    shown = rendered(note(Where("d\u202e.toml", line, column, length)), text)
    assert "\u202e" not in shown
    assert "\x1b" not in shown


def test_signs_that_hide_or_turn_the_writing_are_shown():
    assert (
        seen("a\u202eb\tc\x1b[31m") == "a\N{REPLACEMENT CHARACTER}b c\N{REPLACEMENT CHARACTER}[31m"
    )


def test_an_endless_fact_is_cut():
    assert len(error("not-ends", found="x" * 10_000).says) < 400


def test_most_serious_first_then_by_place():
    first, second = Where("d", 1), Where("d", 2)
    notes = [
        advice("interlaced", first), doubt("swings", second), error("no-rod", second),
        error("no-warp", first), doubt("swings", first),
    ]  # fmt: skip
    assert [(n.severity.value, n.where.line) for n in most_serious_first(notes)] == [
        ("error", 1), ("error", 2), ("doubt", 1), ("doubt", 2), ("advice", 1),
    ]  # fmt: skip


@pytest.mark.parametrize("code", sorted(PROSE))
def test_every_sentence_reads_well(code):
    """One line each, craft words, no blame, no full stop at the end, nothing technical."""
    sentence = PROSE[code]
    assert sentence.says
    assert sentence.known or sentence.instead
    for part in sentence:
        assert part == part.strip()
        assert not part.endswith((".", "!"))
        assert "\n" not in part
        words = set(part.lower().translate(str.maketrans("", "", string.punctuation)).split())
        assert not words & {
            "invalid",
            "illegal",
            "exception",
            "parse",
            "parser",
            "null",
            "error",
        }

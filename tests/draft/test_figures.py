"""Figures lie where they are laid: mirrored, backwards, reversed, one within another."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.base.notes import NOWHERE
from crossfell.draft.model import Cross, Roll, Shift, Turn
from crossfell.draft.reader import read_draft
from crossfell.draft.start import STARTER

HEAD = STARTER[: STARTER.index("[figure.eye]")]
BODY = [
    "1-2 over 3-5",
    "turn 2 right twice, roll 3-5 left",
    "shift 1-2 right 1 place, shift 4 left 2 mm, 4 under 5",
]
WORDS = ["mirrored", "backwards", "reversed"]


def rows(laid, figures, spans=3):
    """What each of three spans does when the first one says `laid`."""
    tables = "".join(
        f"[figure.{name}]\nplaces = {places}\nspans = {body}\n"
        for name, (places, body) in figures.items()
    )
    text = (
        f"{HEAD}{tables}[[span]]\nheight = 100\nmoves = '{laid}'\n"
        + "[[span]]\nheight = 100\n" * (spans - 1)
    )
    draft = read_draft(text)
    assert draft.notes == ()
    return [
        [replace(move, where=NOWHERE, figure="") for move in span.moves] for span in draft.spans
    ]


def test_a_figure_runs_on_through_the_spans_that_follow():
    first, second, third = rows("eye at 4", {"eye": (5, BODY)})
    assert first == [Cross(first=4, middle=6, last=8, left_over=True)]
    assert second == [Turn(first=5, last=5, half_turns=2), Roll(first=6, last=8, half_turns=-1)]
    assert third == [
        Shift(first=4, last=5, places=1),
        Shift(first=7, last=7, length_mm=-2.0),
        Cross(first=7, middle=8, last=8, left_over=False),
    ]


def test_mirrored_exchanges_left_and_right():
    first, second, third = rows("eye at 4 mirrored", {"eye": (5, BODY)})
    assert first == [Cross(first=4, middle=7, last=8, left_over=False)]
    assert second == [Turn(first=7, last=7, half_turns=-2), Roll(first=4, last=6, half_turns=1)]
    assert third == [
        Shift(first=7, last=8, places=-1),
        Shift(first=5, last=5, length_mm=2.0),
        Cross(first=4, middle=5, last=5, left_over=True),
    ]


def test_reversed_exchanges_over_and_under_and_the_side_of_turns():
    first, second, third = rows("eye at 4 reversed", {"eye": (5, BODY)})
    assert first == [Cross(first=4, middle=6, last=8, left_over=False)]
    assert second == [Turn(first=5, last=5, half_turns=-2), Roll(first=6, last=8, half_turns=1)]
    assert third[0] == Shift(first=4, last=5, places=1)


def test_backwards_exchanges_the_order_of_its_spans_alone():
    plain = rows("eye at 4", {"eye": (5, BODY)})
    assert rows("eye at 4 backwards", {"eye": (5, BODY)}) == plain[::-1]


@settings(max_examples=20, deadline=None)
@given(st.lists(st.sampled_from(WORDS), unique=True), st.sampled_from(WORDS), st.integers(1, 8))
def test_each_word_said_twice_says_nothing(words, word, at):
    """Mirrored of mirrored, backwards of backwards, reversed of reversed, among other words."""
    others = [other for other in words if other != word]
    inner = [" ".join(["eye at 1", *others, *([word] * (word not in words))])]
    figures = {"eye": (5, BODY), "outer": (5, inner)}
    assert rows(f"outer at {at} {word}", figures) == rows(f"eye at {at} {' '.join(words)}", figures)


def test_words_can_be_combined_in_any_order():
    figures = {"eye": (5, BODY)}
    assert rows("eye at 2 mirrored backwards reversed", figures) == rows(
        "eye at 2 reversed mirrored backwards", figures
    )


def test_what_runs_on_comes_before_the_spans_own_moves():
    text = HEAD + (
        "[figure.eye]\nplaces = 2\nspans = ['1 over 2', '1 under 2']\n"
        "[[span]]\nheight = 100\nmoves = 'turn 9 right, eye at 1'\n"
        "[[span]]\nheight = 100\nmoves = 'turn 1 right, eye at 3'\n"
        "[[span]]\nheight = 100\nmoves = 'turn 8 left'\n"
    )
    spans = read_draft(text).spans
    assert [type(m).__name__ for m in spans[0].moves] == ["Turn", "Cross"]
    assert [(type(m).__name__, m.first) for m in spans[1].moves] == [
        ("Cross", 1),
        ("Turn", 1),
        ("Cross", 3),
    ]
    assert [(type(m).__name__, m.first) for m in spans[2].moves] == [("Cross", 3), ("Turn", 8)]


def test_a_plait_is_written_as_its_crossings():
    (moves, *_) = rows("plait 3-8", {})
    assert moves == [
        *(Cross(first=a, middle=a + 1, last=a + 1, left_over=True) for a in (3, 5, 7)),
        *(Cross(first=a, middle=a + 1, last=a + 1, left_over=False) for a in (4, 6)),
    ]


def test_a_move_of_a_figure_points_at_where_it_was_laid():
    text = (
        HEAD
        + "[figure.eye]\nplaces = 2\nspans = ['1 over 2']\n[[span]]\nheight = 9\nmoves = 'eye at 3'\n"
    )
    draft = read_draft(text, file="d.toml")
    (move,) = draft.spans[0].moves
    line = text.split("\n")[move.where.line - 1]
    assert line[move.where.column - 1 :][: move.where.length] == "eye at 3"
    assert move.figure == "eye"


def test_a_figure_of_the_workshop_is_there_and_the_drafts_own_wins():
    workshop = "[figure.eye]\nplaces = 2\nspans = ['1 over 2']\n[figure.far]\nplaces = 2\nspans = ['2 over 1']\n"
    text = (
        HEAD
        + "[figure.eye]\nplaces = 2\nspans = ['1 under 2']\n[[span]]\nheight = 9\nmoves = 'eye at 1, far at 3'\n"
    )
    draft = read_draft(text, workshop=workshop)
    assert draft.notes == ()
    assert [move.left_over for move in draft.spans[0].moves] == [False, False]


@pytest.mark.parametrize("name", ["turn", "roll", "1st", "a b", ""])
def test_a_name_that_begins_a_move_is_refused(name):
    text = f"{HEAD}[figure.'{name}']\nplaces = 2\nspans = ['1 over 2']\n[[span]]\nheight = 9\n"
    assert [note.code for note in read_draft(text).notes] == ["not-a-figure-name"]


@pytest.mark.parametrize("name", ["round", "left", "every", "at"])
def test_other_words_of_the_moves_can_be_names(name):
    text = f"{HEAD}[figure.{name}]\nplaces = 2\nspans = ['1 over 2']\n"
    draft = read_draft(f"{text}[[span]]\nheight = 9\nmoves = '{name} at 1 every 2 to 3'\n")
    assert draft.notes == ()
    assert [move.first for move in draft.spans[0].moves] == [1, 3]

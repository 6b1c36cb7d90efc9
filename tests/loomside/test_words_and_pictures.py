"""Each step of each example can be said and drawn, from both sides; over stays over."""

from pathlib import Path

import pytest

from crossfell.base.frame import at_loom
from crossfell.draft.reader import read_draft
from crossfell.drawings.svg import svg
from crossfell.loomside.columns import MOST, columns_for
from crossfell.loomside.leading import plan_of_file
from crossfell.loomside.picture import has_picture, picture_of
from crossfell.loomside.screen import step_screen
from crossfell.loomside.sights import sights_from
from crossfell.order.batten import batten_at
from crossfell.piece import Piece
from crossfell.plan.ear import kinds_said, number_said, runs_written, units_said
from crossfell.plan.phrasebook import voice_of, words_of
from small_piece import small_draft

EXAMPLES = sorted(Path(__file__).parents[2].glob("examples/*/*.toml"))


def planned(moves):
    made = Piece(read_draft(small_draft(moves, order="a*6 b*6", height=240)))
    assert made.computable, made.draft.notes
    return made


def steps_of(piece, kind):
    return [step for step in piece.plan.steps if step.kind == kind]


@pytest.mark.parametrize("file", EXAMPLES[:2], ids=lambda path: path.stem)
def test_each_step_can_be_said_and_drawn_from_both_sides(file):
    plan = plan_of_file(file)
    for i, step in enumerate(plan.steps):
        for other in (False, True):
            screen = step_screen(plan, i, other_side=other)
            assert screen.do
            assert screen.spoken.endswith((".", "!"))
            if has_picture(step) and i % 5 == 0:
                sights = plan.sights[i], plan.sights[i + 1]
                scene = picture_of(plan.piece, step, sights, behind=screen.behind)
                left, top, right, low = scene.box()
                assert left >= -0.01
                assert top >= 0
                assert right <= scene.width_mm + 0.01
                assert low <= scene.height_mm
                assert "<text" in svg(scene, letters=False)


def test_from_behind_places_turn_round_and_over_stays_over():
    piece = planned("6 over 7")
    (lay,) = steps_of(piece, "cross")
    seen = [words_of(lay, voice_of(piece.draft, behind=behind)) for behind in (False, True)]
    word = "OVER" if lay.over else "UNDER"
    assert all(words.cross.startswith(word) for words in seen)
    end = lay.to_places[0]
    assert seen[0].lines[0] == f"into place {end}"
    assert seen[1].lines[0] == f"into place {13 - end}"


def test_a_turn_goes_the_other_way_for_who_stands_behind():
    piece = planned("turn 3 right")
    (turn,) = steps_of(piece, "turn")
    assert words_of(turn, voice_of(piece.draft, behind=False)).cross == "RIGHT, half a turn"
    assert words_of(turn, voice_of(piece.draft, behind=True)).cross == "LEFT, half a turn"
    assert "its back is up" in words_of(turn, voice_of(piece.draft, behind=True)).lines[0]


def test_sentences_for_the_ear_are_short_and_call_units_by_their_yarn():
    piece = planned("4-6 over 7")
    said = kinds_said(piece.draft)
    assert said == {"a": "slate", "b": "chalk"}
    assert units_said(piece.draft, [3], said) == "slate four"
    assert units_said(piece.draft, [0, 1, 2, 7], said) == "slate one to three and chalk two"
    assert units_said(piece.draft, [2, 1, 0], said) == "slate three to one"
    for step in steps_of(piece, "cross"):
        words = words_of(step, voice_of(piece.draft, behind=False)).spoken
        assert "over" in words or "under" in words
        assert len(words.split()) < 16


def test_two_kinds_of_one_yarn_are_called_by_their_own_names():
    text = small_draft("", order="a*6 b*6").replace('ends = "10 chalk"', 'ends = "10 slate"')
    assert kinds_said(read_draft(text)) == {"a": "a", "b": "b"}


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (0, "zero"),
        (17, "seventeen"),
        (20, "twenty"),
        (48, "forty eight"),
        (113, "one hundred thirteen"),
        (1588, "1588"),
    ],
)
def test_numbers_are_said_in_words(number, said):
    assert number_said(number) == said


def test_long_runs_of_names_are_shortened():
    draft = planned("").draft
    assert runs_written(draft, [0, 1, 2, 3, 4, 6]) == "a1 … a5, b1"
    assert runs_written(draft, [4, 3, 2, 1, 0]) == "a5 … a1"
    assert runs_written(draft, [0, 2, 4, 5]) == "a1, a3, a5, a6"
    assert runs_written(draft, []) == ""


@pytest.mark.parametrize("behind", [False, True])
def test_a_long_way_across_is_shown_by_both_its_ends(behind):
    columns = columns_for(range(3, 41), at_loom(48, behind=behind))
    assert len(columns.shown) == MOST
    assert columns.gaps[0][1] == 40 - 3 + 3 - MOST
    xs = [columns.x(place) for place in range(2, 42)]
    assert xs == sorted(xs, reverse=behind)


def test_what_is_seen_after_a_turn_and_a_look_is_what_the_plan_says():
    piece = planned("1-3 over 4-6, 9 over 10, turn 2 right, turn 7 left")
    sights = sights_from(batten_at(piece.order, 0, piece.draft.place_count), piece.plan.steps)
    told = [i for i, step in enumerate(piece.plan.steps) if step.after and step.side == "front"]
    assert {piece.plan.steps[i].kind for i in told} == {"check"}
    for i, step in enumerate(piece.plan.steps):
        if i in told:
            assert sights[i + 1].strips.now == step.after.row
            assert sights[i + 1].strips.faces == step.after.faces
    last = sights[-1]
    assert last.strips.now == last.bobbins.now


def test_the_unit_on_top_is_drawn_last():
    piece = planned("6 over 7")
    sights = sights_from(batten_at(piece.order, 0, piece.draft.place_count), piece.plan.steps)
    i, lay = next((i, s) for i, s in enumerate(piece.plan.steps) if s.kind == "cross")
    stack = sights[i + 1].strips.stack
    for over in lay.over:
        assert stack.index(lay.units[0]) > stack.index(over)
    for under in lay.under:
        assert stack.index(lay.units[0]) < stack.index(under)


def test_every_strip_that_is_lifted_is_seen_however_far_apart():
    columns = columns_for({3, 12, 29, 40}, at_loom(48))
    assert {3, 12, 29, 40} <= set(columns.shown)
    assert {2, 4, 11, 13, 28, 30, 39, 41} <= set(columns.shown)
    assert (
        sum(count for _, count in columns.gaps) + len(columns.shown)
        == columns.shown[-1] - columns.shown[0] + 1
    )

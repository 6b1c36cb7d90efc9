"""As woven: how it differs, what puts it right, what undoes it, and the plan from there."""

from dataclasses import replace

import pytest
from click.testing import CliRunner
from drafts_at_random import DRAFT, moves_at_random, piece_from
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.cli import main
from crossfell.draft.edit import set_key
from crossfell.draft.reader import read_draft
from crossfell.order.braid import braids_of
from crossfell.order.stage import order_of
from crossfell.piece import Piece
from crossfell.plan.phrasebook import teller_of
from crossfell.plan.undoing import backwards
from crossfell.plan.woven import moves_from, steps_to_come
from crossfell.plan.woven_written import written_as_woven


def draft_text(spans, made, *, warp="a*6", done=None):
    """Spans as drawn, and as made: `made` maps numbers to moves."""
    text = DRAFT.format(warp=warp, more="")
    text += f"[woven]\nspans = {done or max(made)}\n"
    for number, moves in enumerate(spans, 1):
        text += f'[[span]]\nheight = 300\nmoves = """\n{moves}\n"""\n'
        if number in made:
            text += f'woven = """\n{made[number]}\n"""\n'
    return text


def woven_piece(spans, made, **how):
    piece = Piece(read_draft(draft_text(spans, made, **how)))
    assert piece.computable, [note.message for note in piece.draft.notes]
    return piece


def test_nothing_is_said_where_nothing_is_woven():
    assert piece_from("1 over 2").as_woven is None


def test_woven_as_drawn_needs_nothing():
    woven = woven_piece(["1 over 2", "3 over 4"], {}, done=1).as_woven
    assert woven.as_drawn
    assert (woven.places, woven.right, woven.undo) == ((), None, None)


def test_another_word_of_the_same_braid_is_as_drawn():
    made = {1: "2 over 3\n1 over 2\n2 over 3"}
    assert woven_piece(["1 over 2\n2 over 3\n1 over 2", ""], made).as_woven.as_drawn


def test_over_instead_of_under_stays_and_changes_nothing_that_comes():
    piece = woven_piece(["1 over 2", "3 over 4"], {1: "1 under 2"})
    woven = piece.as_woven
    assert woven.differing[0].says == ("a1 passes over a2 as drawn, passes under it as woven",)
    assert woven.places == ()
    assert woven.right.moves == ()
    assert woven.right.exactly == ("1 over 2", "1 over 2")
    assert piece.going_on.order.place.tolist() == piece.order.place.tolist()


def test_a_forgotten_crossing_is_made_in_the_next_span():
    piece = woven_piece(["1-2 over 3-4", "plait 1-6", ""], {1: ""})
    woven = piece.as_woven
    assert woven.right.moves == ("1-2 over 3-4",)
    assert woven.right.exact
    assert braids_of(piece.going_on.order)[-1] == braids_of(piece.order)[-1]


def test_a_turn_the_wrong_way_keeps_its_face_and_is_told():
    woven = woven_piece(["turn 2 right", ""], {1: "turn 2 left"}).as_woven
    assert "a2 is turned right by half a turn as drawn" in woven.differing[0].says[0]
    assert woven.right.moves == ()
    assert woven.right.exactly == ("turn 2 right twice",)


def test_after_the_last_span_only_undoing_is_left():
    woven = woven_piece(["1 over 2", "3 over 4"], {2: "3 under 4"}).as_woven
    assert woven.right is None
    assert woven.undo.bands == (3,)


def test_undoing_cuts_out_every_band_since_and_reverses_every_lay():
    woven = woven_piece(["1 over 2", "3 over 4", "5 over 6"], {1: "1 under 2"}, done=2).as_woven
    assert (woven.undo.bands, woven.undo.spans, woven.undo.lays) == ((3, 2), (2, 1), 2)
    said = teller_of(woven.draft).sentence
    lays = [said(step) for step in woven.undo.steps if step.kind == "cross"]
    assert len(lays) == 2
    assert "over a4" in lays[0] or "under a3" in lays[0]


PLACES = 6
SPAN = st.lists(moves_at_random(PLACES), max_size=3).map("\n".join)


@settings(max_examples=14, deadline=None)
@given(st.lists(SPAN, min_size=3, max_size=4), st.lists(SPAN, min_size=1, max_size=2))
def test_put_right_the_rest_comes_out_as_drawn(spans, made):
    piece = woven_piece(spans, dict(enumerate(made, 1)))
    done, here = len(made), piece.going_on
    assert here.order.place[done + 1 :].tolist() == piece.order.place[done + 1 :].tolist()
    assert here.order.face[done + 1 :].tolist() == piece.order.face[done + 1 :].tolist()
    right = piece.as_woven.right
    if piece.as_woven.as_drawn or (right and right.exact):
        assert braids_of(here.order)[-1] == braids_of(piece.order)[-1]
    assert here.plan.rehearsed.spans == len(spans)


@settings(max_examples=10, deadline=None)
@given(st.lists(SPAN, min_size=2, max_size=3), SPAN)
def test_what_is_said_to_make_the_whole_as_drawn_does(spans, made):
    piece = woven_piece(spans, {1: made})
    right = piece.as_woven.right
    if right is None or not right.exactly:
        return
    draft = piece.as_woven.draft
    drawn = piece.draft.spans[1]
    moves = (*moves_from(right.exactly, PLACES), *drawn.moves)
    whole = replace(draft, spans=(draft.spans[0], replace(drawn, moves=moves), *draft.spans[2:]))
    assert braids_of(order_of(whole))[-1] == braids_of(piece.order)[-1]


@settings(max_examples=10, deadline=None)
@given(st.lists(SPAN, min_size=2, max_size=4), st.lists(SPAN, min_size=1, max_size=2))
def test_undone_all_lies_as_it_lay_and_nothing_is_crossed(spans, made):
    piece = woven_piece(spans, dict(enumerate(made, 1)))
    undo, done = piece.as_woven.undo, len(made)
    if undo is None:
        return
    first = undo.spans[-1]
    as_made = replace(
        piece.draft,
        spans=tuple(s if s.woven is None else replace(s, moves=s.woven) for s in piece.draft.spans),
    )
    order = order_of(backwards(as_made, first, done))
    assert order.place[-1].tolist() == order.place[first - 1].tolist()
    assert order.face[-1].tolist() == order.face[first - 1].tolist()
    braids = braids_of(order)
    assert braids[-1] == braids[first - 1]


@pytest.mark.parametrize(
    ("made", "back"),
    [
        ("1-2 over 3", ("shift 2 left 1 place", "shift 3 left 1 place")),
        ("shift 2 right 1 place", ("shift 3 left 1 place",)),
        ("shift 2 right 4 mm", ("shift 2 left 4 mm",)),
        ("", None),
    ],
)
def test_gaps_and_lengths_are_put_right_too(made, back):
    piece = woven_piece(["", "", ""], {1: made}, warp="a a - a a -")
    here = piece.going_on.order
    assert here.place[2].tolist() == piece.order.place[2].tolist()
    assert here.offset_mm[2].tolist() == pytest.approx(piece.order.offset_mm[2].tolist())
    right = piece.as_woven.right
    assert (right.moves if right else None) == back


def test_the_plan_goes_on_after_the_last_band_that_is_woven():
    piece = woven_piece(["1 over 2", "3 over 4", "2 over 3"], {2: "3 under 4"})
    steps = steps_to_come(piece.going_on.plan, 2)
    assert [step.kind for step in steps[:2]] == ["unclamp", "draw"]
    assert {step.span for step in steps if step.span} == {3}
    assert {step.band for step in steps if step.band} == {3, 4}


def test_the_command_tells_all_of_it(tmp_path):
    draft = tmp_path / "draft.toml"
    draft.write_text(draft_text(["1 over 2", "3 over 4", ""], {1: ""}), encoding="utf-8")
    said = CliRunner().invoke(main, ["woven", str(draft), "--steps"])
    assert said.exit_code == 0
    for words in (
        "1 span of 3 done.",
        "a1 passes over a2 as drawn, does not cross it as woven",
        "a1 lies in place 1, drawn in 2",
        "Make these first in span 2, then its own moves:\n    1 over 2",
        "the braid of the whole is then as drawn too",
        "Cut out band 2",
        "The plan goes on at step",
        "Clamp the new order.",
    ):
        assert words in said.stdout


def test_the_command_without_anything_woven_says_what_to_write(tmp_path):
    draft = tmp_path / "draft.toml"
    text = DRAFT.format(warp="a*6", more="") + "[[span]]\nheight = 200\n"
    draft.write_text(text, encoding="utf-8")
    said = CliRunner().invoke(main, ["woven", str(draft)])
    assert said.exit_code == 2
    assert "[woven]" in said.stderr


RUNNING = """
[figure.eye]
places = 3
spans = ["1 over 2", "2 under 3", "1 over 2"]
"""


@settings(max_examples=14, deadline=None)
@given(
    st.lists(SPAN, min_size=3, max_size=4),
    st.lists(SPAN, min_size=1, max_size=2),
    st.integers(0, 3),
)
def test_written_the_draft_is_as_woven_then_put_right_then_as_drawn(spans, made, eye):
    """A figure that runs through changed spans (laid in span `eye`) is written out."""
    if 1 <= eye <= len(spans) - 2:
        spans[eye - 1] += "\neye at 2  # runs on"
    text = draft_text(spans, dict(enumerate(made, 1))) + RUNNING
    piece = Piece(read_draft(text))
    assert piece.computable, [note.message for note in piece.draft.notes]
    new = Piece(read_draft(written_as_woven(piece.draft, piece.as_woven)))
    here = piece.going_on.order
    assert new.order.place.tolist() == here.place.tolist()
    assert [span.word for span in new.order.spans] == [span.word for span in here.spans]
    assert new.as_woven is None or new.as_woven.as_drawn
    assert all(span.woven is None for span in new.draft.spans)


def test_remarks_stay_when_it_is_written():
    text = draft_text(["1 over 2  # mine", "3 over 4  # and mine", ""], {1: "2 over 3"})
    piece = Piece(read_draft(text))
    written = written_as_woven(piece.draft, piece.as_woven)
    assert "# mine" in written
    assert "# and mine" in written
    assert "woven = " not in written
    assert "1 over 2\n" in written.split("[[span]]")[2]


def test_the_command_shows_the_change_asks_writes_and_goes_back(tmp_path):
    draft = tmp_path / "draft.toml"
    before = draft_text(["1 over 2", "3 over 4", ""], {1: ""})
    draft.write_text(before, encoding="utf-8")
    run = CliRunner()
    asked = run.invoke(main, ["woven", str(draft), "--write"], input="n\n")
    assert "-1 over 2" in asked.stdout
    assert draft.read_text(encoding="utf-8") == before
    run.invoke(main, ["woven", str(draft), "--write"], input="y\n", catch_exceptions=False)
    after = draft.read_text(encoding="utf-8")
    assert Piece(read_draft(after)).as_woven.as_drawn
    assert run.invoke(main, ["woven", str(draft), "--write", "--yes"]).exit_code == 2
    assert run.invoke(main, ["woven", str(draft), "--back", "--yes"]).exit_code == 0
    assert draft.read_text(encoding="utf-8") == before
    assert run.invoke(main, ["woven", str(draft), "--back", "--yes"]).exit_code == 0
    assert draft.read_text(encoding="utf-8") == after
    draft.write_text(after + "# mine\n", encoding="utf-8")
    assert run.invoke(main, ["woven", str(draft), "--back", "--yes"]).exit_code == 2
    assert draft.read_text(encoding="utf-8") == after + "# mine\n"


def test_a_span_of_a_repeat_that_was_made_otherwise_is_put_right_and_written():
    spans = ["1 over 2", "3 over 4"]
    repeated = (
        draft_text(spans, {}, done=3) + "[[repeat]]\nspans = 2\ntimes = 3\neach = 'reversed'\n"
    )
    piece = Piece(read_draft(set_key(repeated, "span.3.woven", "4 over 5")))
    assert piece.draft.notes == ()
    assert [d.span for d in piece.as_woven.differing] == [3]
    new = Piece(read_draft(written_as_woven(piece.draft, piece.as_woven)))
    assert new.order.place.tolist() == piece.going_on.order.place.tolist()
    first = Piece(read_draft(repeated.replace("moves", "woven = '1 under 2'\nmoves", 1)))
    assert [d.span for d in first.as_woven.differing] == [1]
    written = read_draft(written_as_woven(first.draft, first.as_woven))
    assert len(written.spans) == 6
    assert order_of(written).place.tolist() == first.going_on.order.place.tolist()


def test_a_round_is_rehearsed_put_right_and_undone():
    piece = woven_piece(["4 round 5-6", "2-3 round 1 under", ""], {1: "4 round 5-6 under"})
    assert piece.plan.steps
    assert piece.as_woven.differing
    assert piece.as_woven.undo.lays
    assert piece.going_on.plan.steps

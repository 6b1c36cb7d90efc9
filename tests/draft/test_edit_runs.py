"""A figure made of moves does what they did; mirrors and reverses are their own inverse."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from written_drafts import drafts

from crossfell.base.notes import NOWHERE
from crossfell.draft import edit
from crossfell.draft.edit import NotEditable
from crossfell.draft.model import Cross
from crossfell.draft.reader import read_draft

TIDELINE = Path("examples/02-tideline/tideline.toml").read_text()
EXAMPLES = [path.read_text() for path in sorted(Path("examples").glob("*/*.toml"))]
QUICK = settings(
    max_examples=20, deadline=None, phases=(Phase.explicit, Phase.reuse, Phase.generate)
)


def laid_out(text):
    """Moves of every span, written out, without where they came from."""
    draft = read_draft(text)
    return [[replace(m, where=NOWHERE, figure="") for m in span.moves] for span in draft.spans]


def a_run(data, text):
    count = len(read_draft(text).spans)
    first = data.draw(st.integers(1, count), label="first")
    return first, data.draw(st.integers(first, count), label="last")


@QUICK
@given(st.sampled_from(EXAMPLES[:2]) | drafts(), st.data())
def test_a_figure_of_whole_spans_gives_the_same_moves_in_the_same_order(text, data):
    run = a_run(data, text)
    try:
        new = edit.make_figure(text, "made", *run)
    except NotEditable as reason:
        assert str(reason) == "no move lies here; a figure needs one"  # noqa: PT017
        return
    old = laid_out(text)
    if any(note.code == "figure-runs-out" for note in read_draft(text).notes):
        return
    assert laid_out(new) == old
    assert sorted(re.findall("# r[0-9]+", new)) == sorted(re.findall("# r[0-9]+", text))


def test_a_figure_of_some_places_leaves_the_others_alone():
    new = edit.make_figure(TIDELINE, "shore", 5, 6, (1, 9))
    assert edit.moves_of(new, 5) == ("shore at 1", "turn 23 left")
    assert edit.moves_of(new, 6) == ("18-19 over 20-22", "eye at 12")
    assert edit.moves_of(new, ("shore", 2)) == ("8-9 over 5-7",)
    old = [Counter(map(repr, row)) for row in laid_out(TIDELINE)]
    assert [Counter(map(repr, row)) for row in laid_out(new)] == old


def test_a_move_across_the_edge_of_the_places_is_refused():
    with pytest.raises(
        NotEditable, match="`8-9 over 5-7` in span 6 reaches across the edge of places 1-6"
    ):
        edit.make_figure(TIDELINE, "shore", 6, 6, (1, 6))


def test_a_shift_across_the_edge_is_refused_by_where_it_goes():
    text = edit.add_move(TIDELINE, 1, "shift 4 right 2 places")
    with pytest.raises(NotEditable, match="reaches across"):
        edit.mirror(text, 1, 1, (1, 5))


@pytest.mark.parametrize("name", ["swell", "turn", "7up", "an eye", ""])
def test_a_figure_needs_a_name_of_its_own(name):
    with pytest.raises(NotEditable):
        edit.make_figure(TIDELINE, name, 5, 6)


@settings(QUICK, max_examples=8)
@given(st.sampled_from(EXAMPLES[:2]), st.data())
def test_mirrored_twice_or_reversed_twice_is_what_it_was(text, data):
    run = a_run(data, text)
    for twice in (
        edit.mirror(edit.mirror(text, *run), *run),
        edit.reverse(edit.reverse(text, *run), *run),
    ):
        assert [Counter(map(repr, row)) for row in laid_out(twice)] == [
            Counter(map(repr, row)) for row in laid_out(text)
        ]


@pytest.mark.parametrize("change", ["mirror", "reverse"])
@pytest.mark.parametrize("places", [(1, 12), (4, 9)])
def test_a_run_mirrored_is_its_figure_laid_mirrored(change, places):
    """Two ways to the same braid: the text turned round, and the word behind the figure."""
    moves = [
        "5-6 over 7-8",
        "turn 5 right twice",
        "roll 6-8 left",
        "plait 5-9",
        "shift 9 left 1/2 in",
    ]
    text = re.sub(r"(?s)\[\[span\]\].*", "", TIDELINE) + "[[span]]\nheight = 100\n"
    text = edit.set_moves(text, 1, moves)
    made = edit.make_figure(text, "made", 1, 1, places)
    word = {"mirror": "mirrored", "reverse": "reversed"}[change]
    laid = edit.change_move(made, 1, 1, f"made at {places[0]} {word}")
    changed = getattr(edit, change)(text, 1, 1, places)
    assert laid_out(changed) == laid_out(laid) != laid_out(text)


def test_a_span_mirrored_by_hand():
    text = edit.mirror(TIDELINE, 8, 8)
    assert edit.moves_of(text, 8) == ("14-16 over 11-13", "25-26 over 23-24", "1-2 over 3-4")
    assert edit.moves_of(edit.mirror(TIDELINE, 6, 6), 6)[2] == "eye at 12 mirrored"


def test_a_mirror_never_leaves_the_warp():
    with pytest.raises(NotEditable, match="left of place 1"):
        edit.mirror(edit.add_move(TIDELINE, 1, "turn 30 right"), 1, 1)


def test_a_run_of_spans_is_put_backwards_with_its_heights():
    new = edit.backwards(TIDELINE, 8, 11)
    heights = [span.height_mm for span in read_draft(TIDELINE).spans]
    assert [s.height_mm for s in read_draft(new).spans] == [
        *heights[:7], *reversed(heights[7:11]), *heights[11:],
    ]  # fmt: skip
    assert edit.backwards(new, 8, 11) == TIDELINE
    with pytest.raises(NotEditable, match="runs on"):
        edit.backwards(TIDELINE, 2, 4)


@pytest.mark.parametrize(
    ("family", "old", "new"),
    [("yarn", "slate", "grey-blue"), ("strip", "inch", "s"), ("unit", "a", "sea"), ("figure", "swell", "w")],
)  # fmt: skip
def test_a_new_name_is_used_everywhere(family, old, new):
    text = edit.rename(TIDELINE, family, old, new)
    draft, before = read_draft(text), read_draft(TIDELINE)
    assert draft.notes == before.notes
    assert not re.search(rf"(?<![\w'-]){old}(?![\w'-])", re.sub("#[^\n]*", "", text))
    assert re.findall("# .*", text) == re.findall("# .*", TIDELINE)
    back = edit.rename(text, family, new, old)
    assert re.sub(" +#", " #", back) == re.sub(" +#", " #", TIDELINE)
    assert laid_out(text) == laid_out(TIDELINE)
    assert any(isinstance(move, Cross) for row in laid_out(text) for move in row)


def test_a_name_that_is_taken_or_not_there_is_refused():
    for old, new, why in (
        ("slate", "chalk", "there is a yarn chalk already"),
        ("moss", "fern", "there is no yarn moss"),
        ("slate", "turn", "cannot be the name of a yarn"),
        ("slate", "o'slate", "cannot be the name of a yarn"),
    ):
        with pytest.raises(NotEditable, match=why):
            edit.rename(TIDELINE, "yarn", old, new)
    with pytest.raises(NotEditable, match="names are those of"):
        edit.rename(TIDELINE, "band", "first", "x")

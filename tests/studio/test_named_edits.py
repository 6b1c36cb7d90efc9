"""Edits by name do in the text what she did in the picture, as she sees it."""

from pathlib import Path

import pytest

from crossfell.draft.kinds import KINDS
from crossfell.draft.moves import parsed
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.studio.edits import EDITS, edit_of
from crossfell.studio.folder import Refused
from crossfell.studio.remedies import remedy_of
from crossfell.studio.showing import _warp

TEXT = """\
measure = "mm"
[piece]
woven_from = "{woven}"
[yarn.r]
count = "tex 400"
[strip.s]
width = 30
dents = 10
[unit.r]
strip = "s"
ends = "10 r"
[warp]
pitch = 40
order = "r*6"
[band]
rod = "steel 3"
[[span]]
height = 200   # as high as a hand
moves = "1-2 over 3"
[[span]]
height = 200
"""


def done(edit, woven="bottom", text=None):
    text = text or TEXT.format(woven=woven)
    return edit_of(edit, Piece(read_draft(text))).change(text)


def moves(text, span):
    from crossfell.draft.edit import moves_of

    return list(moves_of(text, span))


AT = {"span": 2, "first": 2, "last": 3}


@pytest.mark.parametrize(
    ("edit", "move"),
    [
        ({"do": "cross", "by": 1, "over": True}, "2-3 over 4"),
        ({"do": "cross", "by": -1, "over": False}, "2-3 under 1"),
        ({"do": "cross", "by": 9, "over": True}, "2-3 over 4-6"),
        ({"do": "turn", "side": "right"}, "turn 2-3 right"),
        ({"do": "roll", "side": "left"}, "roll 2-3 left"),
        ({"do": "shift", "side": "right", "by": 2}, "shift 2-3 right 2 places"),
        ({"do": "shift", "side": "left", "by": "1/4 in"}, "shift 2-3 left 1/4 in"),
        ({"do": "shift", "side": "left", "by": "half a place"}, "shift 2-3 left half a place"),
        ({"do": "shift", "side": "right", "view": "behind"}, "shift 2-3 left 1 place"),
        ({"do": "plait"}, "plait 2-3"),
        ({"do": "round", "side": "right"}, "2-3 round 4"),
        ({"do": "round", "side": "right", "by": 2, "over": False}, "2-3 round 4-5 under"),
        ({"do": "round", "side": "right", "view": "behind"}, "2-3 round 1 under"),
        ({"do": "move", "move": "4 over 5"}, "4 over 5"),
    ],
)
def test_each_tool_writes_its_move(edit, move):
    assert moves(done({**AT, **edit}), 2) == [move]


@pytest.mark.parametrize(
    ("woven", "view", "move"),
    [
        ("bottom", "front", "2-3 over 4"),
        ("bottom", "behind", "2-3 under 1"),
        ("top", "front", "2-3 over 1"),
        ("top", "loom", "2-3 over 4"),
        ("top", "behind", "2-3 under 4"),
    ],
)
def test_right_and_over_are_those_of_the_view(woven, view, move):
    """Dragged to the right over its neighbour, as she sees it."""
    edit = {**AT, "do": "cross", "by": 1, "over": True, "view": view}
    assert moves(done(edit, woven), 2) == [move]


def test_a_turn_is_the_same_from_every_side():
    """The twist of a turned unit is Z or S from wherever it is seen."""
    for view in ("front", "behind", "loom"):
        assert moves(done({**AT, "do": "turn", "side": "right", "view": view}, "top"), 2) == [
            "turn 2-3 right"
        ]


def test_heights_colours_and_spans():
    text = done({"do": "height", "span": 1, "height": "25 cm"})
    assert 'height = "25 cm"  # as high as a hand' in text.replace("   #", "  #")
    assert read_draft(text).spans[0].height_mm == 250
    assert read_draft(done({"do": "height-step", "span": 1, "steps": -2})).spans[0].height_mm == 180
    text = done({"do": "recolour", "yarn": "r", "colour": "#123456"})
    assert read_draft(text).yarns["r"].colour == "#123456"
    text = done({"do": "copy-span", "span": 1, "span_to": 2})
    assert [len(moves(text, k)) for k in (1, 2, 3, 4)] == [1, 0, 1, 0]
    assert len(read_draft(done({"do": "delete-span", "span": 1})).spans) == 1
    assert moves(done({"do": "move-span", "span": 1, "to": 2}), 2) == ["1-2 over 3"]
    assert read_draft(done({"do": "insert-span", "at": 2})).spans[1].height_mm == 200


@pytest.mark.parametrize(
    "edit",
    [
        {"do": "nonsense"},
        {},
        {"do": "cross", "span": "2", "first": 1, "last": 1},
        {"do": "cross", "span": 2, "first": 1, "last": 1, "by": 0},
        {"do": "cross", "span": 2, "first": 1, "last": 1, "by": -1},
        {"do": "cross", "span": 2, "first": 1, "last": 1, "view": "under"},
        {"do": "turn", "span": 2, "first": 1, "last": 1, "side": "up"},
        {"do": "plait", "span": 2, "first": 1, "last": 1},
        {"do": "recolour", "yarn": "r", "colour": "red; }"},
        {"do": "recolour", "yarn": "q", "colour": "#123456"},
        {"do": "move", "span": 2, "move": "x" * 500},
        {"do": "move", "span": 2, "move": '1 over 2"\n[evil]'},
        {"do": "set", "path": "piece.title", "value": {"a": 1}},
        {"do": "height-step", "span": 9, "steps": 1},
        {"do": "replace", "line": 900, "column": 1, "length": 1, "text": "x"},
    ],
)
def test_what_makes_no_sense_is_refused_with_a_sentence(edit):
    with pytest.raises(Refused) as problem:
        done(edit)
    assert str(problem.value)


def test_every_edit_is_known_to_the_documentation():
    page = (Path(__file__).parents[2] / "docs" / "studio.md").read_text()
    assert [name for name in EDITS if f"`{name}`" not in page] == []


def test_a_figure_made_of_a_part_changes_nothing_in_the_piece():
    text = done({**AT, "do": "move", "move": "2 over 3"})
    text = done({**AT, "do": "move", "move": "5 under 6"}, text=text)
    made = done({"do": "make-figure", "name": "knot", "span": 1, "span_to": 2, "first": 1,
                 "last": 3}, text=text)  # fmt: skip
    assert moves(made, 1) == ["knot at 1"]
    assert moves(made, 2) == ["5 under 6"]
    before, after = Piece(read_draft(text)), Piece(read_draft(made))
    assert not [n for n in after.draft.notes if n.severity.value == "error"]
    assert [s.word for s in before.order.spans] == [s.word for s in after.order.spans]


def test_a_figure_cannot_cut_a_move_in_two():
    from crossfell.draft.edit import NotEditable

    with pytest.raises(NotEditable, match="reaches across"):
        done({"do": "make-figure", "name": "half", "span": 1, "first": 1, "last": 2})
    with pytest.raises(NotEditable, match="no move"):
        done({"do": "make-figure", "name": "none", "span": 2, "first": 1, "last": 2})
    with pytest.raises(NotEditable, match="cannot be the name"):
        done({"do": "make-figure", "name": "turn", "span": 1, "first": 1, "last": 3})


MOVES = ["1-2 over 3", "turn 4 left twice", "roll 2-3 right", "shift 6 left 5 mm", "plait 1-4"]


@pytest.mark.parametrize("what", ["mirror", "reverse"])
@pytest.mark.parametrize("move", MOVES)
def test_mirroring_and_reversing_twice_is_the_same_piece(what, move):
    text = TEXT.format(woven="bottom").replace("1-2 over 3", move)
    edit = {"do": what, "span": 1, "first": 1, "last": 6}
    once = done(edit, text=text)
    twice = done(edit, text=once)
    one, two, three = (Piece(read_draft(t)).order for t in (text, once, twice))
    assert [s.word for s in one.spans] == [s.word for s in three.spans]
    assert (one.spans[0].half_turns == three.spans[0].half_turns).all()
    assert (one.spans[0].half_turns == -two.spans[0].half_turns[:: -1 if what == "mirror" else 1]
            ).all()  # fmt: skip


@pytest.mark.parametrize("move", MOVES)
@pytest.mark.parametrize("what", ["mirrored", "reversed"])
def test_mirroring_here_is_what_a_mirrored_figure_does(what, move):
    """The buttons and the notation's words mean the same."""
    whole = TEXT.format(woven="bottom")
    figure = f'\n[figure.f]\nplaces = 6\nspans = ["{move}"]\n'
    laid = whole.replace("1-2 over 3", f"f at 1 {what}") + figure
    edit = {"do": "mirror" if what == "mirrored" else "reverse", "span": 1, "first": 1, "last": 6}
    turned = done(edit, text=whole.replace("1-2 over 3", move))
    one, two = Piece(read_draft(laid)).order, Piece(read_draft(turned)).order
    assert sorted(one.spans[0].word) == sorted(two.spans[0].word)
    assert (one.place == two.place).all()
    assert (one.face == two.face).all()


def test_what_helps_a_piece_that_swings_is_one_click_away(client, folder):
    """A remedy is searched, told with its effect, written into the draft, and can be undone."""
    specimen = Path(__file__).parents[1] / "errors" / "swings.txt"
    before = specimen.read_text().split("\n-----")[0] + "\n"
    path = folder / "leaning.toml"
    path.write_text(before)
    state = client.call("open", piece="leaning")
    assert "swings" in {note["code"] for note in state["notes"]}
    told = client.call("remedies", piece="leaning")
    first = told["remedies"][0]
    assert "every span is carried" in first["effect"]
    after = client.call("mend", piece="leaning", number=0, revision=told["revision"])
    assert "swings" not in {note["code"] for note in after["notes"]}
    assert after["undo"] == first["says"]
    client.call("mend", status=400, piece="leaning", number=0, revision=told["revision"])
    client.call("undo", piece="leaning")
    assert path.read_text() == before


def units_and_colours(text):
    draft = read_draft(text)
    assert Piece(draft).computable, draft.notes
    yarns = [draft.kinds[unit.kind].ends[0][1] for unit in draft.units]
    return yarns, {name: yarn.colour for name, yarn in draft.yarns.items()}


def test_chosen_units_get_a_new_colour_where_they_lie_and_others_keep_theirs():
    """Places are those at the end of the span: after `1-2 over 3` the third unit lies first."""
    asked = {"do": "recolour-units", "span": 1, "first": 1, "last": 1, "was": "r"}
    after = done({**asked, "colour": "#a1b2c3"})
    assert units_and_colours(after)[0] == ["r", "r", "r-2", "r", "r", "r"]
    assert units_and_colours(after)[1]["r-2"] == "#a1b2c3"
    assert "# as high as a hand" in after
    back = done({**asked, "was": "r-2", "yarn": "r"}, text=after)
    assert units_and_colours(back)[0] == ["r"] * 6


@pytest.mark.parametrize("wrong", [{"yarn": "none"}, {"colour": "red"}, {}])
def test_a_yarn_that_is_not_there_or_no_colour_is_refused(wrong):
    asked = {"do": "recolour-units", "span": 1, "first": 1, "last": 1, "was": "r"}
    with pytest.raises(Refused):
        done({**asked, **wrong})


@pytest.mark.parametrize("do", ["recolour-units", "height-step"])
@pytest.mark.parametrize("span", [-1, 0, 3, 100])
def test_a_span_that_is_not_there_is_refused(do, span):
    asked = {"do": do, "span": span, "first": 1, "last": 2, "was": "r", "yarn": "r", "steps": 1}
    with pytest.raises(Refused, match=f"no span {span}"):
        done(asked)


def test_a_draft_with_errors_and_one_without_spans_refuse_what_needs_them():
    spanless = TEXT.format(woven="bottom").partition("[[span]]")[0]
    with pytest.raises(Refused, match="has errors"):
        done({"do": "recolour-units", "span": 1, "first": 1, "last": 2}, text=spanless)
    with pytest.raises(Refused, match="how high"):
        done({"do": "insert-span", "at": 1}, text=spanless)


def test_every_kind_of_move_that_has_a_key_is_a_tool():
    """What the window offers is what the language has; each can be asked for."""
    tools = _warp(Piece(read_draft(TEXT.format(woven="bottom"))))["tools"]
    assert [tool["name"] for tool in tools] == [kind.name for kind in KINDS if kind.key]
    for tool in tools:
        asked = {**AT, "do": tool["name"]} | ({"side": "left"} if tool["goes"] else {})
        assert parsed(moves(done(asked), 2)[-1])[0].kind.name == tool["name"]


def test_an_edit_of_a_repeated_span_writes_its_repeat_out_and_says_so():
    text = TEXT.format(woven="bottom") + "[[repeat]]\nspans = 2\ntimes = 3\neach = 'mirrored'\n"
    piece = Piece(read_draft(text))
    found = edit_of({"do": "turn", "side": "right", "span": 5, "first": 4, "last": 4}, piece)
    assert found.what == "turn 4 right in span 5; its repeat is written out"
    after = read_draft(found.change(text))
    assert [len(span.moves) for span in after.spans] == [1, 0, 1, 0, 2, 0]
    other = edit_of({"do": "set", "path": "piece.title", "value": "Low"}, piece)
    assert other.what == "piece.title set"
    assert "[[repeat]]" in other.change(text)


def test_a_figure_is_laid_across_by_name():
    text = TEXT.format(woven="bottom") + "[figure.eye]\nplaces = 2\nspans = ['1 over 2']\n"
    laid = {
        "do": "figure",
        "span": 2,
        "first": 1,
        "name": "eye",
        "every": 2,
        "to": 5,
        "mirrored": True,
    }
    assert moves(done(laid, text=text), 2) == ["eye at 1 every 2 to 5 mirrored"]


def test_a_shift_without_a_unit_has_its_remedy():
    text = (
        TEXT.format(woven="bottom").replace("r*6", "r*6 -").replace("1-2 over 3", "shift 6 right 1")
    )
    draft = read_draft(text)
    (note,) = draft.notes
    assert note.code == "number-of-places"
    remedy = remedy_of(note, draft)
    assert remedy["says"] == "Write 1 place"
    after = edit_of(remedy["edit"], Piece(draft)).change(text)
    assert moves(after, 1) == ["shift 6 right 1 place"]
    assert read_draft(after).notes == ()

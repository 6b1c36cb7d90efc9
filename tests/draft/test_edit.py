"""Edits do just what they say, and leave every remark where it was."""

from __future__ import annotations

import re
import tomllib
from copy import deepcopy
from pathlib import Path

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from written_drafts import MOVES, drafts

from crossfell.draft import edit
from crossfell.draft.edit import NotEditable
from crossfell.draft.script import opened, spliced

EXAMPLES = [path.read_text() for path in sorted(Path("examples").glob("*/*.toml"))]
QUICK = (Phase.explicit, Phase.reuse, Phase.generate)  # a failing draft is short enough to read
PLENTY = settings(max_examples=20, deadline=None, phases=QUICK)


def values(text):
    return tomllib.loads(text.replace("\r\n", "\n"))


def remarks(text):
    return sorted(re.findall(r"# r\d+", text))


def without_moves(text):
    data = values(text)
    for span in data["span"]:
        span.pop("moves", None)
    return data


def all_moves(text):
    return [edit.moves_of(text, k + 1) for k in range(len(values(text)["span"]))]


def a_span(data, text):
    return data.draw(st.integers(1, len(values(text)["span"])), label="span")


@PLENTY
@given(drafts())
def test_a_text_that_no_splice_touches_stays_as_it_is(text):
    """Read and written again, a draft is the same letter by letter."""
    assert spliced(opened(text), []) == text


@PLENTY
@given(drafts(), st.sampled_from(MOVES), st.data())
def test_a_move_is_added_where_it_was_asked(text, move, data):
    span = a_span(data, text)
    old = all_moves(text)
    at = data.draw(st.none() | st.integers(1, len(old[span - 1]) + 1))
    new = edit.add_move(text, span, move, before=at)
    row = list(old[span - 1])
    row.insert(len(row) if at is None else at - 1, move)
    old[span - 1] = tuple(row)
    assert all_moves(new) == old
    assert without_moves(new) == without_moves(text)
    assert remarks(new) == remarks(text)


@PLENTY
@given(drafts(), st.sampled_from(MOVES), st.data())
def test_a_move_is_changed_or_taken_out_alone(text, move, data):
    span = a_span(data, text)
    old = all_moves(text)
    if not old[span - 1]:
        return
    number = data.draw(st.integers(1, len(old[span - 1])))
    changed, removed = list(old[span - 1]), list(old[span - 1])
    changed[number - 1] = move
    del removed[number - 1]
    for new, row in (
        (edit.change_move(text, span, number, move), changed),
        (edit.remove_move(text, span, number), removed),
    ):
        assert all_moves(new) == [*old[: span - 1], tuple(row), *old[span:]]
        assert without_moves(new) == without_moves(text)
        assert remarks(new) == remarks(text)


@PLENTY
@given(drafts(), st.lists(st.sampled_from(MOVES), max_size=5), st.data())
def test_all_moves_of_a_span_are_set_with_its_remarks_kept(text, moves, data):
    span = a_span(data, text)
    old = all_moves(text)
    new = edit.set_moves(text, span, moves)
    assert all_moves(new) == [*old[: span - 1], tuple(moves), *old[span:]]
    assert remarks(new) == remarks(text)


@PLENTY
@given(drafts(), st.integers(1, 3), st.sampled_from(MOVES), st.data())
def test_the_moves_of_a_figure_are_edited_like_those_of_a_span(text, row, move, data):
    site = ("eye", row)
    old = edit.moves_of(text, site)
    number = data.draw(st.integers(1, len(old)))
    added = edit.add_move(text, site, move, before=number)
    assert edit.moves_of(added, site) == (*old[: number - 1], move, *old[number - 1 :])
    assert edit.remove_move(added, site, number) == text
    assert edit.moves_of(edit.remove_move(text, site, number), site) == tuple(
        old[: number - 1] + old[number:]
    )
    for new in (added, edit.change_move(text, site, number, move)):
        assert values(new)["span"] == values(text)["span"]
        assert remarks(new) == remarks(text)


@PLENTY
@given(drafts(), st.data())
def test_a_written_value_is_replaced_alone(text, data):
    script = opened(text)
    ways = [way for way in script.places.ways() if isinstance(script.at(way), (str, int))]
    way = data.draw(st.sampled_from(ways))
    value = data.draw(
        st.sampled_from([3, 4.5, True, "steel 4", 'a "quote" \\ and\nmore', "x" * 30, ["a", 1]])
    )
    path = ".".join(str(part + 1) if isinstance(part, int) else part for part in way)
    new = edit.set_key(text, path, value)
    expected = deepcopy(values(text))
    here = expected
    for part in way[:-1]:
        here = here[part]
    here[way[-1]] = value
    assert values(new) == expected
    if "moves" not in way and "spans" not in way:
        assert remarks(new) == remarks(text)


NEW_KEYS = (
    "measure", "piece.maker", "piece.wall.height", "yarn.slate.lot", "yarn.moss.count",
    "strip.inch.first", "warp.tension", "band.weft", "band.first.rod", "hang.rail", "loom.hand",
    "span.1.name", "span.1.band.weft", "figure.eye.note", "rates.hour",
)  # fmt: skip


@PLENTY
@given(drafts(), st.sampled_from(NEW_KEYS))
def test_a_key_that_is_not_there_is_added_and_taken_out_again(text, path):
    new = edit.set_key(text, path, "new")
    expected = deepcopy(values(text))
    here = expected
    *tables, name = path.split(".")
    for part in tables:
        here = here[int(part) - 1] if part.isdecimal() else here.setdefault(part, {})
    here[name] = "new"
    assert values(new) == expected
    assert remarks(new) == remarks(text)
    if name not in values(text).get(tables[0] if tables else "", {}):
        out = edit.unset_key(new, path)
        del here[name]
        assert values(out) == expected
        assert remarks(out) == remarks(text)


@PLENTY
@given(drafts(), st.data())
def test_spans_are_put_in_copied_moved_and_taken_out(text, data):
    spans = values(text)["span"]
    span = a_span(data, text)
    at = data.draw(st.integers(1, len(spans) + 1), label="at")
    to = data.draw(st.integers(1, len(spans)), label="to")
    one = spans[span - 1]
    others = [*spans[: span - 1], *spans[span:]]
    wanted = {"height": 150, "moves": "turn 1 right, 2 over 3"}
    inserted = edit.insert_span(text, at, 150, ["turn 1 right", "2 over 3"])
    for new, expected in (
        (inserted, [*spans[: at - 1], wanted, *spans[at - 1 :]]),
        (edit.copy_span(text, span, at), [*spans[: at - 1], one, *spans[at - 1 :]]),
        (edit.move_span(text, span, to), [*others[: to - 1], one, *others[to - 1 :]]),
    ):
        assert values(new) == {**values(text), "span": expected}
        assert set(remarks(new)) == set(remarks(text))
    if len(spans) > 1:
        new = edit.delete_span(text, span)
        assert values(new) == {**values(text), "span": others}
        assert set(remarks(new)) <= set(remarks(text))


@PLENTY
@given(drafts(), st.data())
def test_a_span_put_in_and_taken_out_leaves_no_trace_but_empty_lines(text, data):
    at = data.draw(st.integers(1, len(values(text)["span"]) + 1))
    back = edit.delete_span(edit.insert_span(text, at, 150), at)
    assert back.split() == text.split()
    assert len(back) <= len(text) + 2


def test_remarks_go_with_the_span_that_they_stand_above():
    text = (
        "[[span]]\nheight = 1\n\n# about two\n[[span]]\nheight = 2\n\n# nobody's\n\n"
        "# about three\n[[span]]\nheight = 3\n"
    )
    assert edit.delete_span(text, 2) == (
        "[[span]]\nheight = 1\n\n# nobody's\n\n# about three\n[[span]]\nheight = 3\n"
    )
    assert edit.move_span(text, 3, 1).startswith("# about three\n[[span]]\nheight = 3\n\n[[span]]")


def test_a_remark_behind_a_value_keeps_its_column():
    text = '[yarn.a]\ncount = "lea 16/2"      # soft\n'
    assert (
        edit.set_key(text, "yarn.a.count", "tex 7") == '[yarn.a]\ncount = "tex 7"         # soft\n'
    )
    assert "  # soft" in edit.set_key(text, "yarn.a.count", "x" * 40)


def test_a_new_key_is_written_like_its_neighbours():
    text = '[piece]\n  title      = "T"\n'
    assert edit.set_key(text, "piece.maker", "M").endswith('\n  maker      = "M"\n')
    text = "piece.title = 'T'\n[warp]\npitch = 3\n"
    assert edit.set_key(text, "piece.maker", "M") == (
        "piece.title = 'T'\npiece.maker = \"M\"\n[warp]\npitch = 3\n"
    )


def test_a_yarn_is_added_below_the_last_yarn():
    new = edit.add_yarn(EXAMPLES[0], "moss", count="lea 16/2", fibre="linen", colour="#5b6b4a")
    assert values(new)["yarn"]["moss"] == {
        "count": "lea 16/2",
        "fibre": "linen",
        "colour": "#5b6b4a",
    }
    assert list(values(new)["yarn"])[-1] == "moss"
    with pytest.raises(NotEditable, match="there is a yarn moss already"):
        edit.add_yarn(new, "moss", count="tex 1")


@pytest.mark.parametrize("text", EXAMPLES)
def test_the_move_under_a_note_is_found(text):
    """A message's line and column lead back to the move to be changed."""
    script = opened(text)
    for span in range(1, len(script.data["span"]) + 1):
        for number, move in enumerate(edit.moves_of(text, span), 1):
            offset = text.index(move, script.places.extent("span", span - 1, "moves")[0])
            line = text.count("\n", 0, offset) + 1
            column = offset - text.rfind("\n", 0, offset)
            assert edit.find_move(text, line, column) == (span, number) or text.count(move) > 1
    assert edit.find_move(text, 1, 1) is None
    assert edit.find_move(text, 10**6, 1) is None


@pytest.mark.parametrize(
    ("say", "why"),
    [
        (lambda t: edit.add_move(t, 99, "turn 1 right"), "there is no span 99; the draft has"),
        (lambda t: edit.add_move(t, ("nix", 1), "turn 1 right"), "there is no figure nix"),
        (lambda t: edit.add_move(t, 1, "turn 1"), "not a move"),
        (lambda t: edit.add_move(t, 1, "turn 1 rihgt"), "did you mean `right`"),
        (lambda t: edit.remove_move(t, 1, 99), "there is no move 99"),
        (lambda t: edit.set_key(t, "", 1), "no key is named"),
        (lambda t: edit.set_key(t, "span.99.height", 1), "`span` has 1 to"),
        (lambda t: edit.set_key(t, "piece", 1), "`piece` is a table"),
        (lambda t: edit.set_key(t, "piece.title.x", 1), "`piece.title` is a value"),
        (lambda t: edit.set_key(t, "piece.title", float("nan")), "not a number"),
        (lambda t: edit.unset_key(t, "piece.number"), "not written in this draft"),
        (lambda t: edit.insert_span(t, 99, 10), "number 1 to"),
        (lambda t: edit.move_span(t, 1, 99), "no 99"),
        (lambda t: edit.set_height("[", 1, 10), "cannot be read"),
        (lambda t: edit.delete_span("[[span]]\nheight = 1", 1), "a draft needs a span"),
        (lambda t: edit.move_span("span = [{height = 1}]", 1, 1), "written as"),
        (lambda t: edit.add_move("[[span]]\nmoves = 3", 1, "turn 1 right"), "not text in quotes"),
        (lambda t: edit.set_height("x" * 2_000_000, 1, 10), "too large"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_is_said_in_a_sentence(say, why):
    with pytest.raises(NotEditable, match=re.escape(why)):
        say(EXAMPLES[0])


@settings(PLENTY, max_examples=15)
@given(st.sampled_from(EXAMPLES[:2]), st.data())
def test_an_edit_of_any_text_gives_a_readable_text_or_a_reason(text, data):
    """Also of a draft that is broken somewhere."""
    start = data.draw(st.integers(0, len(text)))
    junk = data.draw(st.text("\"'=[]{}#,\n\\ a1-", max_size=6))
    broken = text[:start] + junk + text[start + data.draw(st.integers(0, 9)) :]
    for change in (
        lambda: edit.add_move(broken, 2, "turn 1 right"),
        lambda: edit.change_move(broken, 2, 1, "turn 1 right"),
        lambda: edit.remove_move(broken, 2, 1),
        lambda: edit.set_key(broken, "yarn.slate.colour", "#000000"),
        lambda: edit.set_key(broken, "rates.hour", 40),
        lambda: edit.move_span(broken, 1, 3),
        lambda: edit.rename(broken, "yarn", "slate", "grey"),
        lambda: edit.mirror(broken, 1, 2),
        lambda: edit.make_figure(broken, "new", 2, 3),
    ):
        try:
            new = change()
        except NotEditable:
            continue
        values(new)

"""Runs of spans again and again: what they come to, and what becomes of them when one is changed."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft import edit
from crossfell.draft.forms import Words
from crossfell.draft.reader import MOST_SPANS, read_draft
from crossfell.draft.repeats import EACH as EACH_FORM
from crossfell.draft.repeats import Change, change_of
from small_drafts import DRAFT

HEAD = (
    DRAFT.format(warp="- - a*8 - -", width=18, dents=12)
    + """
[figure.eye]
places = 4
spans = ["1-2 over 3-4", "2 round 3, turn 1 left"]
"""
)
MOVES = ("4 over 5", "plait 3-8", "turn 4-6 left twice", "roll 6-8 right", "5 round 6-7 under",
         "eye at 4", "eye at 3 every 2 to 7 mirrored", "shift 10 right 1 place",
         "shift 3 left half a place", "shift 10 right 3/4 in")  # fmt: skip
EACH = ("", "mirrored", "reversed", "mirrored reversed", "right 1 place", "mirrored left 1 place")


def span(moves="", height=200, more=""):
    return f'[[span]]  # s\nheight = {height}\nmoves = """\n{moves}   # m\n"""\n{more}\n'


def repeat(spans, times, each=""):
    return (
        f'# why\n[[repeat]]   # r\nspans = {spans}\ntimes = {times}   # often\neach = "{each}"\n\n'
    )


def does(draft):
    """What is made in each span, at which height, with which band after it."""
    bands = [(band.picks, band.rod, band.weft) for band in draft.bands]
    return [(s.height_mm, s.name, s.note, [m.does for m in s.moves]) for s in draft.spans], bands


@st.composite
def drafts(draw):
    parts, count = [HEAD], 0
    for _ in range(draw(st.integers(1, 3))):
        for _ in range(draw(st.integers(1, 3))):
            moves = "\n".join(draw(st.lists(st.sampled_from(MOVES), max_size=2)))
            more = draw(st.sampled_from(["", 'band = { picks = "2" }', 'name = "n # 1"']))
            parts.append(span(moves, draw(st.integers(100, 300)), more))
            count += 1
        if draw(st.booleans()):
            spans, times = draw(st.integers(1, count)), draw(st.integers(2, 4))
            parts.append(repeat(spans, times, draw(st.sampled_from(EACH))))
            count += spans * (times - 1)
    text = "\n".join([*parts, span(), span()])
    return text.replace("\n", draw(st.sampled_from(["\n", "\r\n"])))


def test_thirty_spans_are_a_few_lines():
    text = HEAD + span("4 over 5") + span("turn 6 right") + span() + repeat(3, 10, "mirrored")
    draft = read_draft(text)
    assert draft.notes == ()
    assert [s.number for s in draft.spans] == list(range(1, 31))
    assert len(draft.bands) == 31
    first = [m.first for s in draft.spans[::3] for m in s.moves]
    assert first == [4, 8] * 5
    line = text[: text.index("[[repeat]]")].count("\n") + 1
    assert {m.where.line for s in draft.spans[3:] for m in s.moves} == {line}


def test_a_repeat_counts_what_is_repeated_above_it():
    draft = read_draft(
        HEAD + span("4 over 5") + repeat(1, 2, "right 1 place") + span() + repeat(3, 2)
    )
    assert [[m.first for m in s.moves] for s in draft.spans] == [[4], [5], [], [4], [5], []]


@pytest.mark.parametrize(
    ("each", "change"),
    [
        ("", Change()), ("mirrored", Change(mirrored=True)), ("left 2 places", Change(by=-2)),
        ("reversed mirrored right 1 place", Change(True, True, 1)),
    ],
)  # fmt: skip
def test_what_changes_each_time(each, change):
    assert change_of(each) == change
    assert change_of(EACH_FORM.write(EACH_FORM.read(Words(each)))) == change


@pytest.mark.parametrize(
    ("more", "code"),
    [
        (repeat(2, 2), "repeat-of-nothing"), (repeat(1, 3000), "too-many-spans"),
        (repeat(1, 9, "right 1 place"), "repeat-beyond-the-warp"), (repeat(0, 2), "not-understood"),
        (repeat(1, 1), "not-understood"), (repeat(1, 2, "right 1"), "not-understood"),
        (repeat(1, 2, "mirrored mirrored"), "not-understood"), (repeat(1, 2, "backwards"), "not-understood"),
        ("[repeat]\nspans = 1\n", "not-understood"), ("[[repeat]]\nspans = 1\n", "missing-key"),
        (repeat(1, 2) + "spam = 1\n", "unknown-key"),
    ],
)  # fmt: skip
def test_a_repeat_that_makes_no_sense_is_told_and_left_out(more, code):
    draft = read_draft(HEAD + span("4 over 5") + more)
    assert [note.code for note in draft.notes] == [code]
    assert draft.notes[0].where.line > HEAD.count("\n")
    assert 1 <= len(draft.spans) <= MOST_SPANS


def test_a_figure_that_runs_out_of_the_last_repeat_is_told():
    draft = read_draft(HEAD + span() + span("eye at 4") + repeat(2, 2))
    assert [note.code for note in draft.notes] == ["figure-runs-out"]
    assert "eye" in draft.notes[0].message


@settings(max_examples=60, deadline=None)
@given(drafts())
def test_a_draft_written_out_reads_as_before(text):
    draft = read_draft(text)
    if any(note.severity.value == "error" for note in draft.notes):
        return
    plain = edit.written_out(text)
    assert "[[repeat]]" not in plain
    assert does(read_draft(plain)) == does(draft)
    assert plain.count("# often") == text.count("# often")
    assert plain.count("# why") == text.count("# why")


@settings(max_examples=60, deadline=None)
@given(drafts(), st.data())
def test_an_edit_changes_the_span_of_that_number_alone(text, data):
    draft = read_draft(text)
    if any(note.severity.value == "error" for note in draft.notes):
        return
    number = data.draw(st.integers(1, len(draft.spans)))
    after = read_draft(edit.set_height(text, number, 77), former=draft)
    assert after == read_draft(after.text)
    changed = does(after)
    wanted, bands = does(draft)
    wanted[number - 1] = (77.0, *wanted[number - 1][1:])
    assert changed == (wanted, bands)
    taken = does(read_draft(edit.delete_span(text, number)))[0]
    assert [row[0] for row in taken] == [s.height_mm for s in draft.spans if s.number != number]
    put = read_draft(edit.insert_span(text, number, 77))
    heights = [s.height_mm for s in draft.spans]
    assert [s.height_mm for s in put.spans] == [
        *heights[: number - 1],
        77.0,
        *heights[number - 1 :],
    ]
    to = data.draw(st.integers(1, len(draft.spans)))
    heights.insert(to - 1, heights.pop(number - 1))
    assert [s.height_mm for s in read_draft(edit.move_span(text, number, to)).spans] == heights


def test_other_repeats_stay_when_one_is_written_out():
    text = HEAD + span("4 over 5") + repeat(1, 3) + span("turn 4 left") + repeat(1, 4)
    after = edit.add_move(text, 5, "turn 5 right")
    assert after.count("[[repeat]]") == 1
    assert edit.moves_of(after, 5) == ("turn 4 left", "turn 5 right")
    assert len(read_draft(after).spans) == 7
    assert edit.moves_of(text, 7) == ("turn 4 left",)
    line = text[: text.index("turn 4")].count("\n") + 1
    assert edit.find_move(text, line, 2) == (4, 1)


def test_an_edit_of_what_stands_apart_leaves_every_repeat():
    text = HEAD + span("4 over 5") + repeat(1, 3) + span("turn 4 left") + span()
    after = edit.change_move(text, 4, 1, "turn 4 right")
    assert edit.moves_of(after, 4) == ("turn 4 right",)
    assert after.count("[[repeat]]") == 1
    assert edit.set_key(text, "span.5.name", "last").count("[[repeat]]") == 1


def test_what_was_really_woven_stays_with_its_span():
    text = HEAD + "[woven]\nspans = 4\n" + span("4 over 5") + repeat(1, 5, "reversed")
    after = edit.set_key(text, "span.3.woven", "4 under 5")
    draft = read_draft(after)
    assert draft.notes == ()
    assert [s.woven is not None for s in draft.spans] == [False, False, True, False, False]
    again = read_draft(edit.set_key(text, "span.1.woven", "4 under 5"))
    assert [s.woven is not None for s in again.spans] == [True, False, False, False, False]


def test_reading_after_an_edit_is_reading_from_nothing():
    text = HEAD + span("4 over 5") + repeat(1, 3, "mirrored") + span("turn 4 left")
    former = read_draft(text)
    for old, new in [
        ("turn 4", "turn 5"),
        ("times = 3", "times = 4"),
        ("4 over", "3 over"),
        ("# r\n", "# s\n\n"),
    ]:
        after = text.replace(old, new)
        assert read_draft(after, former=former) == read_draft(after)


def test_a_thousand_repeated_spans_are_laid_out_once_for_each_way():
    """Thirty thousand moves, but two different rows of them."""
    text = HEAD + span("plait 3-10\n" * 4) + repeat(1, 1_000, "mirrored")
    draft = read_draft(text)
    assert draft.notes == ()
    assert len(draft.spans) == 1_000
    assert len({id(move) for s in draft.spans for move in s.moves}) == 3 * 28
    assert draft.spans[0].moves[0].does == draft.spans[2].moves[0].does

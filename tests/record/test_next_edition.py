"""A piece is made again from its record: next number, last text, real hours, lots and changes."""

import pytest
from loomwork import DRAFT, Turned, marks_of, piece_of, tick

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.record.edition import NothingToRepeat, edition_of, next_number
from crossfell.record.events import Event


@pytest.mark.parametrize(
    ("number", "next_one"),
    [("", "2"), ("1", "2"), ("9", "10"), ("1/8", "2/8"), ("No. 3", "No. 4"), ("first", "first 2")],
)
def test_the_next_number_follows_the_last(number, next_one):
    assert next_number(number) == next_one


def made(text):
    clock, piece = Turned(), piece_of()
    events = [Event(kind="start", at=clock())]
    events += [
        tick(mark, clock.after(3 * mark.minutes), draft="one" if i < 9 else "two")
        for i, mark in enumerate(marks_of(piece))
    ]
    events += [
        Event(kind="lot", at=clock(), says={"yarn": "slate", "lot": "B-11"}),
        Event(kind="used", at=clock(), says={"yarn": "slate", "mass_g": 412.0}),
        Event(kind="note", at=clock(), says={"text": "the left edge\npulls in"}),
    ]
    first = DRAFT.replace("{second}", "2 under 3")
    drafts = {"one": (first, ""), "two": (text, "")}
    return edition_of(read_draft(first), events, drafts)


def test_an_edition_is_the_last_text_with_what_the_record_knows():
    last = DRAFT.replace("{second}", "2 over 3")
    text, number = made(last)
    assert number == "2"
    again = Piece(read_draft(text))
    assert again.computable
    assert again.draft.about.number == "2"
    assert again.order.spans[1].word == (2,)
    head = text[: text.index('measure = "mm"')]
    for said in ("Hours: ", "slate: lot B-11", "412 g used", "the left edge pulls in"):
        assert said in head
    assert '-moves = "2 under 3"' in head
    assert '+moves = "2 over 3"' in head
    assert all(line.startswith("#") or not line for line in head.splitlines())


def test_what_was_never_worked_on_cannot_be_repeated():
    with pytest.raises(NothingToRepeat):
        edition_of(read_draft(DRAFT), [], {})

"""A record that was kept when keys held sentences still tells where she is."""

import json
from pathlib import Path

import pytest
from loomwork import Turned, marks_of, tick

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.record.events import event_from_table
from crossfell.record.identity import keys_of
from crossfell.record.progress import done_steps, progress_of

KEPT = Path(__file__).parent / "kept_before"
DRAFT = (KEPT / "low.toml").read_text(encoding="utf-8")
EVENTS = [event_from_table(row) for row in json.loads((KEPT / "ticks.json").read_text("utf-8"))]
CHANGED = {
    "nothing": DRAFT,
    "measure": DRAFT.replace('measure = "mm"', 'measure = "in"'),
    "overhang": DRAFT.replace("12 mm", "25 mm"),
}


def piece_of(text):
    made = Piece(read_draft(text))
    assert made.computable, made.draft.notes
    return made


def where(piece, events):
    steps = piece.plan.steps
    return progress_of(steps, keys_of(steps, piece.order.names), done_steps(events))


@pytest.mark.parametrize("what", CHANGED)
def test_ticks_kept_before_stand_whatever_lengths_are_called_now(what):
    piece = piece_of(CHANGED[what])
    found = where(piece, EVENTS)
    last, done = EVENTS[-1].step, piece.plan.steps[found.at - 1]
    assert (done.kind, done.span, done.band) == (last.kind, last.span, last.band)
    assert not found.changed


@pytest.mark.parametrize("what", CHANGED)
def test_ticks_kept_now_stand_too(what):
    marks = marks_of(piece_of(DRAFT))[: len(EVENTS)]
    found = where(piece_of(CHANGED[what]), [tick(mark, Turned()()) for mark in marks])
    assert (found.at, found.changed) == (len(marks), False)


def test_another_height_or_another_rod_is_told():
    marks = marks_of(piece_of(DRAFT))[: len(EVENTS)]
    events = [tick(mark, Turned()()) for mark in marks]
    for old, new, kind in (("95 mm", "80 mm", "draw"), ("steel 3", "steel 4", "rod")):
        found = where(piece_of(DRAFT.replace(old, new)), events)
        assert {mark.kind for mark in found.gone} == {kind}


def test_of_two_rods_kept_before_in_a_band_only_the_one_done_is_done():
    first = next(i for i, event in enumerate(EVENTS) if event.step.kind == "rod")
    found = where(piece_of(DRAFT), EVENTS[: first + 1])
    assert (found.at, found.changed) == (first + 1, False)

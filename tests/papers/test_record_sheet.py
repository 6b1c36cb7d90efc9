"""The record of the piece shows what was really done: hours, lots, notes, editions, photographs."""

from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.papers.lists import lists_of
from crossfell.papers.make import make_all
from crossfell.papers.model import Blanks, Table
from crossfell.papers.record_sheet import record
from crossfell.piece import Piece
from crossfell.record.clock import Stamp
from crossfell.record.events import Event
from crossfell.record.identity import keys_of, mark_of
from crossfell.record.store import Record, record_path

EXAMPLES = Path(__file__).parents[2] / "examples"
TEXT = read_file(next((EXAMPLES / "01-first-sampler").glob("*.toml"))).text
NOON = 1_764_072_000_000  # 25 November 2025, 12:00 UTC


def at(minutes):
    ms = round(minutes * 60_000)
    return Stamp(utc_ms=NOON + ms, offset_min=60, boot="first", run_ms=ms)


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "light.toml"
    path.write_text(TEXT, encoding="utf-8")
    return path


def worked(file, steps=4, each=5.0):
    """Steps ticked one after another; lots, a weighing, a note, a photograph, an edition."""
    piece = Piece(read_file(file))
    keys = keys_of(piece.plan.steps, piece.order.names)
    marks = [mark_of(piece.draft, piece.plan.steps, keys, i) for i in range(steps)]
    events = [Event(kind="start", at=at(0))]
    events += [Event(kind="tick", at=at(each * (i + 1)), step=mark) for i, mark in enumerate(marks)]
    said = [
        ("lot", {"yarn": "slate", "lot": "B-1172"}),
        ("lot", {"yarn": "slate", "lot": "B-1180"}),
        ("used", {"yarn": "slate", "mass_g": 44.0}),
        ("note", {"text": "=the left edge pulls in #1"}),
        ("photo", {"path": "pictures/band-1.jpg"}),
        ("edition", {"number": "2"}),
    ]
    events += [
        Event(kind=kind, at=at(100 + i), step=marks[-1], says=says)
        for i, (kind, says) in enumerate(said)
    ]
    with Record(record_path(file)) as kept:
        kept.add(events)
    return marks


def said(sheet):
    return repr(sheet.blocks)


def table(sheet, name):
    return next(b for b in sheet.blocks if isinstance(b, Table) and b.name == name)


def test_hours_are_those_of_the_record_beside_those_of_the_plan(file):
    marks = worked(file)
    sheet = record(Piece(read_file(file)))
    planned = sum(mark.minutes for mark in marks) / 60
    assert (
        f"'Hours worked', '{4 * 5 / 60:.1f} h; these steps were planned with {planned:.1f} h"
        in (said(sheet))
    )
    assert "'Begun', '2025-11-25'" in said(sheet)
    steps = len(Piece(read_file(file)).plan.steps)
    assert f"'4 of {steps}, on 1 day'" in said(sheet)
    rows = table(sheet, "hours").rows
    assert sum(float(row[4]) for row in rows) == pytest.approx(20 / 60, abs=0.02)
    assert sum(int(row[1]) for row in rows) == 4


def test_lots_weighings_notes_photographs_and_editions_are_those_noted(file):
    worked(file)
    sheet = record(Piece(read_file(file)))
    slate = next(row for row in table(sheet, "materials").rows if row[0] == "yarn slate")
    assert slate[3:] == ("44 g", "B-1172, B-1180")
    assert ("2025-11-25", "pictures/band-1.jpg") == table(sheet, "photographs").rows[0][::2]
    noted = [row[2] for row in table(sheet, "noted").rows]
    assert "note: =the left edge pulls in #1" in noted
    assert "edition 2" in noted
    assert {"record-hours", "record-noted", "record-photographs"} <= {
        name for name, _ in lists_of([sheet])
    }


def test_what_the_record_knows_needs_no_line_to_write_on(file):
    blank = {label for b in record(Piece(read_file(file))).blocks if isinstance(b, Blanks)
             for label in b.labels}  # fmt: skip
    worked(file)
    left = {label for b in record(Piece(read_file(file))).blocks if isinstance(b, Blanks)
            for label in b.labels}  # fmt: skip
    assert {"Begun", "Hours worked", "Cut from the loom", "Signature"} <= blank
    assert blank - left == {"Begun", "Hours worked"}


def test_a_record_that_cannot_be_read_is_said_and_left_alone(file):
    record_path(file).write_bytes(b"not a record, but long enough to have a head" * 4)
    before = record_path(file).read_bytes()
    assert "Hours and lots are missing" in said(record(Piece(read_file(file))))
    assert record_path(file).read_bytes() == before


def test_the_handover_is_made_again_when_more_was_done(file, tmp_path, monkeypatch):
    monkeypatch.setattr("crossfell.papers.make.origin_of", lambda _: "the same draft and program")
    made = tmp_path / "made"
    make_all(Piece(read_file(file)), made, ["handover", "quote"])
    quote, before = (made / "quote.pdf").stat(), (made / "handover.pdf").read_bytes()
    worked(file)
    make_all(Piece(read_file(file)), made, ["handover", "quote"])
    assert (made / "handover.pdf").read_bytes() != before
    assert (made / "quote.pdf").stat().st_mtime_ns == quote.st_mtime_ns

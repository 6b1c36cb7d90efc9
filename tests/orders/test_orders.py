"""The order book of a folder: states, days, promises, a calendar and a table that others read."""

import csv
import io
from datetime import date, timedelta

import pytest
from click.testing import CliRunner
from icalendar import Calendar

from crossfell.cli import main
from crossfell.draft.model import Week
from crossfell.draft.reader import read_draft
from crossfell.loomside.guide import Guide
from crossfell.orders.book import order_book
from crossfell.orders.days import Workdays
from crossfell.orders.standing import DONE, IDEA, LOOM, PROMISED, WRONG
from small_piece import small_draft

TODAY = date(2031, 3, 3)  # a Monday
WORKSHOP = (
    '[week]\ndays = "mon wed fri"\noff = ["2031-03-05 to 2031-03-07"]\n[minutes]\nday = 120\n'
)


def written(folder, name, promised="", spans=1):
    text = small_draft(*["1-2 over 3-4"] * spans, order="a*2 b*2", height=150, title=name)
    if promised:
        text = text.replace("[piece]", f'[piece]\npromised = "{promised}"')
    file = folder / f"{name}.toml"
    file.write_text(text)
    return file


def ticked(file, steps):
    guide = Guide(file)
    for _ in range(steps):
        guide.done()
    guide.close()


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "workshop.toml").write_text(WORKSHOP)
    ticked(written(tmp_path, "Begun", "2031-05-30", spans=4), 10)
    written(tmp_path, "Later", "2032-12-01", spans=2)
    written(tmp_path, "Sooner", "2031-03-14", spans=2)
    written(tmp_path, "Idea")
    (tmp_path / "wrong.toml").write_text("[warp]\npitch = 3\n")
    (tmp_path / "other.toml").write_text("[tool]\nx = 1\n")
    return tmp_path


def test_each_piece_stands_where_its_record_says(folder):
    found = {s.file.stem: s for s in order_book(folder, TODAY).standings}
    assert {name: s.state for name, s in found.items()} == {
        "Begun": LOOM, "Later": PROMISED, "Sooner": PROMISED, "Idea": IDEA, "wrong": WRONG
    }  # fmt: skip
    begun = found["Begun"]
    assert begun.done == 10
    assert begun.left.likely < begun.planned_min
    assert begun.days[0] <= begun.days[1] <= begun.days[2]
    ticked(folder / "Idea.toml", found["Idea"].steps)
    assert {s.file.stem: s.state for s in order_book(folder, TODAY).standings}["Idea"] == DONE


def test_what_is_on_the_loom_comes_first_then_by_due_days_and_a_broken_promise_is_told(folder):
    book = order_book(folder, TODAY)
    assert book.slots[0].standing.file.stem == "Begun"
    keeps = {slot.standing.file.stem: slot.keeps for slot in book.slots}
    assert keeps["Sooner"] == "no"  # three days of work until the 14th
    assert keeps["Later"] == "yes"
    assert book.late == 1
    for before, after in zip(book.slots, book.slots[1:], strict=False):
        assert before.done[1] < after.first
    for slot in book.slots:
        assert slot.done[0] <= slot.done[1] <= slot.done[2]
        assert slot.first.weekday() in {0, 2, 4}
    assert book.free[1] > book.slots[-1].done[1]
    assert [slot.first for slot in book.offers] == [book.free[1]]


def test_the_plan_moves_when_work_does(folder):
    before = order_book(folder, TODAY)
    ticked(folder / "Begun.toml", 30)
    after = order_book(folder, TODAY)
    assert after.slots[0].done[1] <= before.slots[0].done[1]
    assert after.slots[0].standing.left.likely < before.slots[0].standing.left.likely


def test_what_is_promised_and_not_begun_is_bought_together(folder):
    book = order_book(folder, TODAY)
    rows = {s.file.stem: s.piece.amounts for s in book.standings if s.state == PROMISED}
    for need in book.buy.yarns:
        alone = [n.need_g for a in rows.values() for n in a.yarns if n.yarn == need.yarn]
        assert need.need_g == pytest.approx(sum(alone))


def test_days_of_work_are_those_of_the_week_without_days_off():
    week = Week(days=(0, 2, 4), off=(("2031-03-05", "2031-03-07"),))
    days = Workdays(week=week, start=TODAY)
    assert [days.day(k) for k in range(3)] == [TODAY, date(2031, 3, 10), date(2031, 3, 12)]
    assert days.until(date(2031, 3, 12)) == 3
    assert days.until(TODAY - timedelta(days=1)) == 0
    with pytest.raises(ValueError, match="days off"):
        Workdays(week=Week(off=(("2031-01-01", "2099-01-01"),)), start=TODAY).day(0)


@pytest.mark.parametrize(
    ("table", "line", "says"),
    [
        ("piece", 'promised = "2031-02-29"', "the calendar has no day 2031-02-29"),
        ("piece", 'promised = "in March"', "year, month, day"),
        ("week", 'days = "monday"', "mon tue wed"),
        ("week", 'off = ["2031-03-09 to 2031-03-01"]', "ends before it begins"),
    ],
)
def test_a_day_without_sense_gets_a_sentence_with_its_line(table, line, says):
    text = small_draft("1 over 2", order="a*2", height=150)
    text = (
        text.replace("[piece]", f"[piece]\n{line}")
        if f"[{table}]" in text
        else f"{text}\n[{table}]\n{line}\n"
    )
    draft = read_draft(text)
    (note,) = [note for note in draft.notes if note.code == "not-understood"]
    assert says in note.message
    assert text.splitlines()[note.where.line - 1] == line


def test_a_date_of_toml_is_a_day_too():
    assert read_draft("[piece]\npromised = 2032-02-29\n").about.promised == "2032-02-29"


def test_the_command_tells_writes_a_table_and_a_calendar_that_others_read(folder):
    """Outside: Python's csv reader and the icalendar library (RFC 4180, RFC 5545)."""
    run = CliRunner().invoke
    said = run(main, ["orders", str(folder), "--on", "2031-03-03"])
    assert said.exit_code == 0, said.output
    for part in ("1 promise breaks", "A new piece can begin on", "To buy", "wrong.toml"):
        assert part in said.output
    table = run(main, ["orders", str(folder), "--on", "2031-03-03", "--csv"]).output
    rows = list(csv.DictReader(io.StringIO(table)))
    assert {row["piece"]: row["kept"] for row in rows}["Sooner"] == "no"
    assert all(float(row["left low (min)"]) >= 0 for row in rows)
    file = folder / "orders.ics"
    assert (
        run(main, ["orders", str(folder), "--on", "2031-03-03", "--calendar", str(file)]).exit_code
        == 0
    )
    events = Calendar.from_ical(file.read_bytes()).walk("VEVENT")
    book = order_book(folder, TODAY)
    weave = {str(e["summary"]): e for e in events}
    for slot in book.slots:
        event = weave[f"Weave {slot.standing.title}"]
        assert event.decoded("dtstart") == slot.first
        assert event.decoded("dtend") == slot.done[1] + timedelta(days=1)
    assert len({str(e["uid"]) for e in events}) == len(events) == 6
    assert run(main, ["orders", str(folder), "--calendar", str(file)]).exit_code == 0
    file.write_text("hers")
    assert run(main, ["orders", str(folder), "--calendar", str(file)]).exit_code == 2
    assert file.read_text() == "hers"


def test_an_empty_folder_and_one_without_days_of_work_are_told(tmp_path):
    run = CliRunner().invoke
    assert "no piece in this folder" in run(main, ["orders", str(tmp_path)]).output
    written(tmp_path, "One", "2031-05-01")
    (tmp_path / "workshop.toml").write_text('[week]\noff = ["2000-01-01 to 2900-01-01"]\n')
    assert "all are days off" in run(main, ["orders", str(tmp_path)]).output

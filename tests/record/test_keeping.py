"""What was said to be saved is there; what cannot be read is left alone."""

import hashlib
import os
import signal
import sqlite3
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest
from loomwork import Turned, marks_of, piece_of, tick

from crossfell.record.events import Event, NotAnEvent
from crossfell.record.exchange import exported, import_into
from crossfell.record.opening import NotSaved, RecordRefused
from crossfell.record.progress import done_steps
from crossfell.record.store import Record, read_record, record_path


@pytest.fixture
def file(tmp_path):
    return record_path(tmp_path / "low.toml")


def print_of(path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


def test_an_event_comes_back_as_it_was_saved(file):
    clock, mark = Turned(), marks_of(piece_of())[0]
    said = [
        tick(mark, clock(), device="tablet", draft="abc"),
        Event(kind="note", at=clock(), says={"text": "Ende “gerissen”, neu angeknüpft"}),
        Event(kind="weight", at=clock(), says={"unit": "a1", "mass_g": 260.0}),
    ]
    with Record(file) as record:
        assert record.add(said) == (True, True, True)
    with Record(file) as record:
        assert list(record.events()) == said


def test_an_event_that_arrives_twice_is_kept_once(file):
    event = tick(marks_of(piece_of())[0], Turned()())
    with Record(file) as record:
        assert record.add([event]) == (True,)
        assert record.add([event, event]) == (False, False)
        assert len(record.events()) == 1


def test_events_are_saved_all_or_none(file):
    good = tick(marks_of(piece_of())[0], Turned()())
    with Record(file) as record:
        bad = Event(kind="note", at=Turned()(), says={"text": "x", "length": float("nan")})
        with pytest.raises(ValueError, match="JSON"):
            record.add([good, bad])
        other = Event(kind="note", at=Turned()(), says={"text": "x"}, device=None)
        with pytest.raises(NotSaved):
            record.add([good, other])
        assert record.events() == ()


def test_the_log_is_forced_to_the_disk_at_every_commit(file):
    with Record(file) as record:
        assert record._link.execute("PRAGMA synchronous").fetchone() == (2,)
        assert record._link.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_what_was_saved_can_be_neither_changed_nor_deleted(file):
    with Record(file) as record:
        record.add([tick(marks_of(piece_of())[0], Turned()())])
        for spoil in ("UPDATE event SET kind = 'back'", "DELETE FROM event"):
            with pytest.raises(sqlite3.IntegrityError, match="only added to"):
                record._link.execute(spoil)


@pytest.mark.parametrize(
    ("kind", "says"),
    [
        ("hop", {}),
        ("note", {}),
        ("note", {"text": "x" * 5000}),
        ("tick", {}),
        ("lot", {"lot": "7"}),
    ],
)
def test_what_is_no_event_is_refused_in_a_sentence(kind, says):
    with pytest.raises(NotAnEvent):
        Event(kind=kind, at=Turned()(), says=says)


def filled(file, count=40):
    with Record(file) as record:
        marks = marks_of(piece_of())
        for mark in marks[:count]:
            record.add([tick(mark, Turned()())])
    return file


@pytest.mark.parametrize(
    "spoil",
    [
        lambda raw: b"",
        lambda raw: raw[:60],
        lambda raw: b"not a record at all, only text\n" * 20,
        lambda raw: raw[:4096] + b"\x5a" * (len(raw) - 4096),
        lambda raw: raw[: len(raw) // 2],
    ],
    ids=["empty", "head cut", "text", "pages overwritten", "half"],
)
def test_a_damaged_record_is_refused_and_left_as_it_is(file, spoil):
    filled(file).write_bytes(spoil(file.read_bytes()))
    before = print_of(file)
    for reader in (Record, read_record):
        with pytest.raises(RecordRefused, match=r"cannot be read as a record.*left as it is"):
            reader(file)
    assert print_of(file) == before


def test_a_record_of_a_newer_program_is_refused_and_left_as_it_is(file):
    link = sqlite3.connect(filled(file))
    link.execute("PRAGMA user_version = 2")
    link.close()
    before = print_of(file)
    with pytest.raises(RecordRefused, match="newer Crossfell"):
        Record(file)
    assert print_of(file) == before


def test_a_database_of_another_program_is_refused_and_left_as_it_is(file):
    link = sqlite3.connect(file)
    link.execute("CREATE TABLE mine (x)")
    link.close()
    before = print_of(file)
    with pytest.raises(RecordRefused, match="not a record of Crossfell"):
        Record(file)
    assert print_of(file) == before


def test_a_backup_made_while_others_write_is_whole_and_opens(file, tmp_path):
    with Record(file) as record, Record(file) as other:
        marks = marks_of(piece_of())
        record.add([tick(marks[0], Turned()())])
        record.backup(tmp_path / "copy.record")
        other.add([tick(marks[1], Turned()())])
        assert len(record.events()) == 2
        with pytest.raises(NotSaved, match="already there"):
            record.backup(tmp_path / "copy.record")
    assert len(read_record(tmp_path / "copy.record")[0]) == 1
    assert [p.name for p in tmp_path.glob(".*")] == []


def test_where_a_file_can_have_no_second_name_records_and_backups_are_made_all_the_same(
    file, tmp_path, monkeypatch
):
    def cannot(*_):
        raise PermissionError("no links here")

    monkeypatch.setattr(os, "link", cannot)
    with Record(file) as record:
        record.add([tick(marks_of(piece_of())[0], Turned()())])
        record.backup(tmp_path / "copy.record")
    assert len(read_record(tmp_path / "copy.record")[0]) == 1


def test_a_record_in_a_folder_that_cannot_be_written_can_be_read(file, monkeypatch):
    filled(file, 3)
    monkeypatch.setattr(os, "access", lambda *_: False)
    assert len(read_record(file)[0]) == 3
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_export_and_import_bring_back_the_whole_record_once(file, tmp_path):
    piece, clock = piece_of(), Turned()
    with Record(file) as record:
        name = record.remember_draft(piece.draft, clock())
        record.add([tick(m, clock.after(1), draft=name) for m in marks_of(piece)[:5]])
        text = exported(record.events(), record.drafts())
    with Record(tmp_path / "other.record") as other:
        assert import_into(other, text, clock()) == (5, 0)
        assert import_into(other, text, clock()) == (0, 5)
        assert exported(other.events(), other.drafts()) == text


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        '{"format": "crossfell record", "number": 2}',
        '{"format": "crossfell record", "number": 1}',
        '{"format": "crossfell record", "number": 1, "drafts": {}, "events": [{"id": 3}]}',
    ],
)
def test_an_export_that_cannot_be_read_takes_nothing_in(file, text):
    with Record(file) as record:
        with pytest.raises(RecordRefused):
            import_into(record, text, Turned()())
        assert record.events() == ()


def record_takes(record, mark):
    try:
        record.add([tick(mark, Turned()(), says={"text": "x" * 900})])
    except NotSaved as problem:
        return "full" not in str(problem)
    return True


def test_a_full_disk_is_said_and_nothing_counts_as_done(file):
    marks = marks_of(piece_of())
    with Record(file) as record:
        record.add([tick(marks[0], Turned()())])
        pages = record._link.execute("PRAGMA page_count").fetchone()[0]
        record._link.execute(f"PRAGMA max_page_count = {pages}")
        saved = 1
        while record_takes(record, marks[saved]):
            saved += 1
        assert len(record.events()) == saved
        record._link.execute("PRAGMA max_page_count = 100000")
        record.add([tick(marks[-1], Turned()())])
        assert len(record.events()) == saved + 1
    assert len(read_record(file)[0]) == saved + 1


LIMITED = """
import resource, signal, sys
sys.path[:0] = {tests!r}
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
from pathlib import Path
from loomwork import Turned, marks_of, piece_of, tick
from crossfell.record.opening import NotSaved
from crossfell.record.store import Record
marks = marks_of(piece_of())
record = Record(Path(sys.argv[1]))
resource.setrlimit(resource.RLIMIT_FSIZE, (60_000, resource.RLIM_INFINITY))
for mark in marks * 50:
    try:
        record.add([tick(mark, Turned()())])
    except NotSaved:
        print("refused", flush=True)
        break
    print("saved", flush=True)
"""


@pytest.mark.skipif(os.name != "posix", reason="limits of file sizes are POSIX's")
def test_a_disk_that_takes_no_more_bytes_loses_nothing_that_was_saved(file):
    code = textwrap.dedent(
        LIMITED.format(tests=[str(folder) for folder in Path(__file__).parents[:2]])
    )
    told = subprocess.run(
        [sys.executable, "-c", code, str(file)], capture_output=True, text=True, check=True
    ).stdout.split()
    assert told[-1] == "refused"
    assert len(read_record(file)[0]) == told.count("saved")


TICKING = """
import itertools, sys
from pathlib import Path
from crossfell.record.clock import system_clock
from crossfell.record.events import Event, StepMark
from crossfell.record.store import Record
with Record(Path(sys.argv[1])) as record:
    for number in itertools.count(record.count() + 1):
        mark = StepMark(key=f"step {number}", number=number, kind="lay", span=1, band=None,
                        side="front", text="", count=1, minutes=1.0)
        record.add([Event(kind="tick", at=system_clock(), step=mark)])
        print(number, flush=True)
"""


def killed_in_the_middle(file, after):
    """Start ticking, end it by SIGKILL once it has said `after` numbers; what it said."""
    with subprocess.Popen(
        [sys.executable, "-c", TICKING, str(file)], stdout=subprocess.PIPE, text=True
    ) as run:
        said = [int(run.stdout.readline()) for _ in range(after)]
        os.kill(run.pid, signal.SIGKILL)
        said += [int(line) for line in run.stdout if line.endswith("\n")]
    return said


def kill_and_count(file, times, step):
    said = []
    for turn in range(times):
        said += killed_in_the_middle(file, 1 + turn % step)
    kept = [mark.number for mark in done_steps(read_record(file)[0])]
    assert len(read_record(file)[0]) == len(kept), "a tick was doubled"
    assert set(said) <= set(kept), "a tick that was acknowledged is lost"
    assert sorted(set(said)) == said, "a tick was acknowledged twice"
    assert kept == list(range(1, len(kept) + 1)), "a gap"
    assert len(kept) - len(said) <= times, "at most one unsaid tick for each kill"


def test_a_program_killed_while_ticking_loses_and_doubles_nothing(file):
    kill_and_count(file, times=4, step=3)


@pytest.mark.soak
def test_a_program_killed_twenty_times_while_ticking_loses_and_doubles_nothing(file):
    kill_and_count(file, times=20, step=2)

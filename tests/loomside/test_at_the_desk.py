"""Away from the loom: the log, notes, learned times, backups, and what screens may send."""

import contextlib
import json
import os
import signal
import subprocess
import sys
import time
import urllib.request

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.cli import main
from crossfell.loomside import desk
from crossfell.loomside.guide import Guide
from crossfell.loomside.leading import CannotLead
from crossfell.loomside.sent import events_sent
from crossfell.record.clock import Stamp
from crossfell.record.events import NotAnEvent
from crossfell.record.store import record_path
from small_piece import small_draft

DRAFT = small_draft("1 over 2, 3 over 4")


class Hours:
    """A clock that a test turns."""

    def __init__(self):
        self.ms = 1_764_072_000_000

    def __call__(self):
        return Stamp(utc_ms=self.ms, offset_min=60, boot="one", run_ms=self.ms % 10**9)


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "low.toml"
    path.write_text(DRAFT)
    return path


@pytest.fixture
def worked(file):
    """A draft of which everything was done, each step in twice the minutes planned."""
    hours = Hours()
    guide = Guide(file, clock=hours)
    guide.tell([guide.event("start")])
    for step in guide.now().plan.steps:
        hours.ms += round(2 * step.minutes * 60_000)
        guide.done()
    guide.close()
    return file


def run(*words):
    return CliRunner().invoke(main, [str(word) for word in words])


def test_the_log_shows_planned_against_real_and_from_how_many(worked):
    told = run("log", worked)
    assert told.exit_code == 0
    assert "Low Water" in told.output
    table = json.loads(run("log", worked, "--json").output)
    assert table["done"] == table["steps"]
    lay = next(kind for kind in table["kinds"] if kind["kind"] == "pick")
    assert lay["real_min"] == pytest.approx(2 * lay["planned_min"], rel=0.01)
    assert lay["one"]["likely"] == pytest.approx(3.0, rel=0.01)
    assert f"from {lay['one']['steps']} steps" in told.output


def test_a_log_of_nothing_makes_no_file(file):
    told = run("log", file).output
    assert "Nothing was done yet" in told
    assert "Next good place to stop: after step 1," in told
    assert not record_path(file).exists()


def test_learned_minutes_go_into_the_workshop_with_their_source_and_remarks_stay(worked):
    workshop = worked.parent / "workshop.toml"
    workshop.write_text("# mine\n[loom]\nhand = 3 # small\n")
    told = run("log", worked, "--learn")
    assert told.exit_code == 0, told.output
    text = workshop.read_text()
    assert "# mine" in text
    assert "hand = 3 # small" in text
    assert "pick = 3.0 # measured: the middle of" in text
    guide = Guide(worked)
    picks = [s for s in guide.now().plan.steps if s.kind == "pick"]
    assert picks[0].minutes == pytest.approx(3.0 * picks[0].count)
    guide.close()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("note", "the", "edge", "pulls"), "note: the edge pulls"),
        (("lot", "slate", "B-11"), "yarn slate: lot B-11"),
        (("weight", "a1", "260", "g"), "weight of a1 changed to 260 g"),
        (("broken-end", "a3"), "broken end in a3"),
        (("drying", "4", "h"), "dries 240 min from here"),
    ],
)
def test_what_is_noted_stands_in_the_log(file, words, says):
    assert run("note", file, *words).exit_code == 0
    assert says in run("log", file).output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("join", "z9"), "there is no unit z9; there are: a1, a2, a3, a4"),
        (("lot", "slate"), "lot needs two words"),
        (("lot", "slat", "B-11"), "there is no yarn slat; did you mean `slate`?"),
        (("used", "moss", "40", "g"), "there is no yarn moss; there are: slate"),
        (("weight", "a1", "heavy"), "begins with a number"),
    ],
)
def test_a_note_that_makes_no_sense_is_refused(file, words, says):
    told = run("note", file, *words)
    assert told.exit_code == 2
    assert told.output.startswith("crossfell: ")
    assert says in told.output


def test_backup_export_and_import_by_command(worked, tmp_path):
    assert run("record", "backup", worked, tmp_path / "copy.record").exit_code == 0
    exported = tmp_path / "all.json"
    exported.write_text(run("record", "export", worked).output)
    told = run("record", "import", worked, exported)
    assert "0 events taken in" in told.output
    assert run("record", "backup", worked, tmp_path / "copy.record").exit_code == 3
    record_path(worked).write_bytes(b"broken")
    told = run("log", worked)
    assert told.exit_code == 3
    assert "cannot be read as a record" in told.output
    assert record_path(worked).read_bytes() == b"broken"


def test_a_draft_with_errors_is_not_led_and_one_that_gets_errors_is_led_on(file):
    guide = Guide(file)
    guide.done()
    file.write_text(DRAFT + "[[span]\n")
    now = guide.now()
    assert now.progress.at == 1
    assert "has errors" in now.doubt
    file.write_text(DRAFT)
    assert guide.now().doubt == ""
    guide.close()
    file.write_text("nonsense")
    with pytest.raises(CannotLead):
        Guide(file)
    assert run("loom", file, "--plain").exit_code == 1


def test_mistake_by_command(file):
    guide = Guide(file)
    steps = guide.now().plan.steps
    at = next(i for i, s in enumerate(steps) if s.kind == "check")
    guide.tell([guide.event("tick", index=i) for i in range(at)])
    guide.close()
    told = run("mistake", file, "a2", "a1", "a4", "a3", "--other-way", "a1 a2")
    assert told.exit_code == 0, told.output
    assert "It went wrong here" in told.output
    assert "The way back" in told.output
    assert run("mistake", file, "a2").exit_code == 2
    assert run("mistake", file).exit_code == 2
    led = run("mistake", file, "a2", "a1", "a4", "a3", "--other-way", "a1 a2", "--walk")
    assert f"begins at step {at + 1} of" in led.output
    assert run("mistake", file, "--band", "1").exit_code == 2  # on a way back already
    assert run("mistake", file, "--leave").exit_code == 0
    told = run("mistake", file, "--band", "1", "--picks", "3")
    assert "Or live with it" in told.output


PLAIN = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20)
ANY = st.recursive(
    PLAIN,
    lambda x: st.lists(x, max_size=4) | st.dictionaries(st.text(max_size=8), x, max_size=4),
    max_leaves=12,
)


@pytest.fixture(scope="module")
def guide(tmp_path_factory):
    path = tmp_path_factory.mktemp("sent") / "low.toml"
    path.write_text(DRAFT)
    led = Guide(path)
    yield led
    led.close()


@given(
    ANY
    | st.builds(
        lambda row: {"events": [row]},
        st.fixed_dictionaries(
            {
                "id": st.just("abcdefgh") | ANY,
                "kind": st.sampled_from(["tick", "note", "start"]),
                "says": ANY,
                "age_ms": ANY,
                "key": ANY,
            }
        ),
    )
)
@settings(max_examples=30, deadline=None)
def test_whatever_a_screen_sends_is_events_or_a_sentence(guide, message):
    events, refused = (), {}
    with contextlib.suppress(NotAnEvent):
        events, refused = events_sent(guide, message)
    assert all(event.at.utc_ms <= guide.clock().utc_ms for event in events)
    assert all(refused.values())
    guide.tell(events)


def test_a_tick_sent_late_stands_at_the_time_that_it_was_made(guide):
    key, draft = guide.now().plan.keys[0], guide.now().plan.draft
    row = {"id": "a" * 12, "kind": "tick", "key": key, "draft": draft, "age_ms": 60_000}
    (event,), _ = events_sent(guide, {"device": "tablet", "events": [row]})
    assert 59_000 < guide.clock().utc_ms - event.at.utc_ms < 70_000
    assert event.step.number == 1
    long_ago = {**row, "age_ms": 300 * 24 * 3_600_000}
    (event,), _ = events_sent(guide, {"events": [long_ago]})
    assert event.at.boot != guide.clock().boot


def test_one_event_that_makes_no_sense_does_not_hold_up_the_others(guide):
    key, draft = guide.now().plan.keys[0], guide.now().plan.draft
    good = {"id": "b" * 12, "kind": "tick", "key": key, "draft": draft, "says": {"x": "\ud800"}}
    bad = {"id": "c" * 12, "kind": "tick", "key": "no such step", "draft": "gone"}
    events, refused = events_sent(guide, {"events": [bad, good]})
    assert [event.id for event in events] == ["b" * 12]
    assert list(refused) == ["c" * 12]
    guide.tell(events)


def test_desk_and_command_line_agree(worked):
    assert (
        desk.log_of(worked)[1]["steps"] == json.loads(run("log", worked, "--json").output)["steps"]
    )


def test_made_again_by_command(worked):
    new = worked.parent / "low-2.toml"
    told = run("again", worked, new)
    assert "edition 2" in told.output, told.output
    assert 'number = "2"' in new.read_text()
    assert run("check", new).exit_code == 0
    assert run("again", worked, new).exit_code == 3
    assert "edition 2" in run("log", worked).output


def test_a_piece_that_is_not_finished_is_made_again_only_when_asked_for(file):
    text = file.read_text().replace(
        "[piece]", '[piece]\npromised = "2031-05-01"\nagreed = 900\npaid = 3'
    )
    file.write_text(text)
    guide = Guide(file)
    steps = len(guide.now().plan.steps)
    for _ in range(3):
        guide.done()
    guide.close()
    new = file.parent / "low-2.toml"
    told = run("again", file, new)
    assert told.exit_code == 2
    assert f"3 of {steps} steps are done" in told.output
    assert not new.exists()
    assert run("again", file, new, "--unfinished").exit_code == 0
    for name in ("promised", "agreed", "paid"):
        assert f"\n{name}" not in new.read_text()
    assert run("check", new).exit_code == 0


def test_a_terminal_and_a_server_at_once_double_nothing(file):
    one, other = Guide(file), Guide(file)
    assert one.now().progress.at == other.now().progress.at == 0
    seen = other.event("tick", index=0)
    one.done()
    other.tell([seen])
    assert one.now().progress.at == other.now().progress.at == 1
    other.done()
    one.back()
    assert other.now().progress.at == 1
    one.close()
    other.close()


def test_a_port_that_is_taken_is_said(file):
    import socket

    with socket.create_server(("127.0.0.1", 0)) as taken:
        told = run("loom", file, "--port", taken.getsockname()[1])
    assert told.exit_code == 3
    assert "is taken" in told.output


@pytest.mark.skipif(os.name != "posix", reason="an interrupt is sent as on POSIX")
def test_the_screen_is_served_until_she_closes_it(file):
    """The command itself: it says its address, answers there, and ends without complaint."""
    code = "from crossfell.cli import run; run()"
    words = [sys.executable, "-c", code, "loom", str(file), "--port", "0"]
    quiet = {**os.environ, "BROWSER": "true", "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        words, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=quiet
    ) as running:
        said = running.stdout.readline()
        address = said.split("open at ")[1].strip()
        straight = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        for _ in range(1200):
            with contextlib.suppress(OSError):
                assert json.load(straight.open(f"{address}state"))["at"] == 0
                break
            time.sleep(0.1)
        running.send_signal(signal.SIGINT)
        rest = running.stdout.read()
    assert running.returncode == 0, rest
    assert "Traceback" not in rest
    assert "Aborted" not in rest

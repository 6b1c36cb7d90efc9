"""A record leaves in one ZIP with its photographs and comes back whole: zipfile and csv agree."""

import csv
import io
import json
import zipfile

import pytest
from click.testing import CliRunner
from test_mistakes import DRAFT

from crossfell.cli import main
from crossfell.loomside.carrying import carry_in, carry_out
from crossfell.loomside.guide import Guide
from crossfell.loomside.photos import keep_photo
from crossfell.record.opening import NotSaved, RecordRefused
from crossfell.record.store import read_record, record_path

PNG = b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 40


@pytest.fixture
def worked(tmp_path):
    """A draft with ticks, a note that looks like a formula, and three photographs, one lost."""
    folder = tmp_path / "here"
    folder.mkdir()
    file = folder / "low.toml"
    file.write_text(DRAFT.replace("{one}", "1 over 2").replace("{two}", "2 under 3"))
    guide = Guide(file)
    guide.done()
    guide.done()
    keep_photo(guide, PNG)
    outside = tmp_path / "camera.png"
    outside.write_bytes(PNG + b"outside")
    guide.tell([guide.event("photo", says={"path": str(outside)})])
    guide.tell([guide.event("photo", says={"path": "lost.jpg"})])
    guide.tell([guide.event("note", index=2, says={"text": "=1+1, “slack” at the left"})])
    guide.close()
    return file


def test_what_left_is_read_by_zipfile_json_and_csv(worked, tmp_path):
    told = carry_out(worked, tmp_path / "all.zip")
    assert (told.photographs, told.not_there) == (2, ("lost.jpg",))
    with zipfile.ZipFile(tmp_path / "all.zip") as archive:
        assert archive.testzip() is None
        events = json.loads(archive.read("record.json"))["events"]
        table = io.StringIO(archive.read("events.csv").decode("utf-8-sig"), newline="")
        rows = list(csv.DictReader(table))
        photos = [name for name in archive.namelist() if name.startswith("photographs/")]
        assert sorted(len(archive.read(name)) for name in photos) == [len(PNG), len(PNG) + 7]
    assert len(rows) == len(events) == told.events
    assert [row["kind"] for row in rows] == [event["kind"] for event in events]
    assert json.loads(rows[-1]["says"]) == {"text": "=1+1, “slack” at the left"}
    assert not any(cell.startswith(("=", "+", "@")) for row in rows for cell in row.values())


def test_it_comes_back_whole_and_once_on_another_machine(worked, tmp_path):
    carry_out(worked, tmp_path / "all.zip")
    there = tmp_path / "there"
    there.mkdir()
    new = there / "low.toml"
    new.write_text(worked.read_text())
    first = carry_in(new, tmp_path / "all.zip")
    again = carry_in(new, tmp_path / "all.zip")
    assert (first.known, first.photographs) == (0, 2)
    assert (again.events, again.known, again.photographs) == (0, first.events, 0)
    assert read_record(record_path(new)) == read_record(record_path(worked))
    kept = [path.relative_to(worked.parent) for path in worked.parent.rglob("*.png")]
    assert [(there / path).read_bytes() for path in kept] == [PNG]
    assert any(p.read_bytes() == PNG + b"outside" for p in (there / "low.photos").iterdir())
    carry_out(new, tmp_path / "again.zip")
    with zipfile.ZipFile(tmp_path / "all.zip") as a, zipfile.ZipFile(tmp_path / "again.zip") as b:
        assert a.read("record.json") == b.read("record.json")


def test_a_photograph_that_is_there_is_never_written_over(worked, tmp_path):
    carry_out(worked, tmp_path / "all.zip")
    (photo,) = worked.parent.rglob("*.png")
    photo.write_bytes(b"another")
    told = carry_in(worked, tmp_path / "all.zip")
    assert told.kept == (str(photo.relative_to(worked.parent)),)
    assert photo.read_bytes() == b"another"
    with pytest.raises(NotSaved):
        carry_out(worked, tmp_path / "all.zip")


@pytest.mark.parametrize(
    "name", ["../out.png", "/out.png", "a/../../out.png", "a\\..\\o.png", "run.sh"]
)
def test_an_archive_that_would_write_elsewhere_is_refused_whole(worked, tmp_path, name):
    bad = tmp_path / "bad.zip"
    before = read_record(record_path(worked))
    with zipfile.ZipFile(bad, "w") as archive:
        archive.writestr(
            "record.json",
            json.dumps({"format": "crossfell record", "number": 1, "drafts": {}, "events": []}),
        )
        archive.writestr(f"photographs/{name}", b"x")
    with pytest.raises(RecordRefused):
        carry_in(worked, bad)
    assert not list(tmp_path.rglob("*out.png"))
    assert not list(tmp_path.rglob("*.sh"))
    assert read_record(record_path(worked)) == before


def test_by_command(worked, tmp_path):
    run = CliRunner()
    told = run.invoke(main, ["record", "export", str(worked), str(tmp_path / "all.zip")])
    assert "2 photographs" in told.stdout
    assert "lost.jpg" in told.stderr
    told = run.invoke(main, ["record", "import", str(worked), str(tmp_path / "all.zip")])
    assert "0 events taken in" in told.stdout
    (tmp_path / "no.zip").write_bytes(b"PK nonsense")
    told = run.invoke(main, ["record", "import", str(worked), str(tmp_path / "no.zip")])
    assert told.exit_code == 3

"""An edit is kept whole, undone without end, merged with what others did, never written over."""

import os
import sqlite3

import pytest
from own_page import HOST, SECRET, Client
from starlette.testclient import TestClient

from crossfell.draft.edit import NotEditable, add_move
from crossfell.studio.app import studio
from crossfell.studio.desk import Desk
from crossfell.studio.folder import Folder, Refused
from crossfell.studio.guard import door
from crossfell.studio.journal import Journal

PIECE = "02-tideline/tideline"


def moved(span, move):
    return lambda text: add_move(text, span, move)


def change(draft, span, move, revision=None):
    return draft.change(moved(span, move), move, revision or draft.state.revision)


def test_an_edit_is_on_the_disk_when_it_is_acknowledged(desk):
    draft = desk.open(PIECE)
    assert change(draft, 3, "1 over 2") is None
    assert draft.path.read_text() == draft.text
    assert "1 over 2" in draft.text


def test_undo_and_redo_go_on_after_a_restart(folder, desk):
    draft = desk.open(PIECE)
    first = draft.text
    texts = [first]
    for k in range(10):
        change(draft, 1 + k, "2 over 3")
        texts.append(draft.text)
    desk.journal.close()
    again = Journal(folder)
    draft = Desk(Folder(folder), again).open(PIECE)
    for text in reversed(texts[:-1]):
        assert draft.undo()
        assert draft.text == text == draft.path.read_text()
    assert not draft.undo()
    for text in texts[1:]:
        assert draft.redo()
        assert draft.text == text
    assert not draft.redo()
    again.close()


def test_what_was_undone_and_worked_over_can_be_brought_back(desk):
    draft = desk.open(PIECE)
    change(draft, 1, "2 over 3")
    lost, revision = draft.text, draft.state.revision
    draft.undo()
    change(draft, 1, "3 over 4")
    assert desk.journal.forth(PIECE) is None
    draft.restore(revision)
    assert draft.text == lost


def test_a_change_by_another_program_is_seen_and_can_be_undone(desk):
    draft = desk.open(PIECE)
    before = draft.text
    draft.path.write_text(before.replace("Tideline", "Ebb"))
    os.utime(draft.path, ns=(1, 1))
    assert draft.look()
    assert draft.piece.draft.about.title == "Ebb"
    assert draft.state.what == "changed by another program"
    draft.undo()
    assert draft.path.read_text() == before


def test_two_windows_in_different_places_are_merged(desk):
    draft = desk.open(PIECE)
    seen = draft.state.revision
    assert change(draft, 2, "1 over 2", seen) is None
    assert change(draft, 12, "3 under 4", seen) is None
    assert "1 over 2" in draft.text
    assert "3 under 4" in draft.text


def test_two_windows_in_the_same_place_are_shown_side_by_side(desk):
    draft = desk.open(PIECE)
    seen = draft.state.revision
    change(draft, 2, "1 over 2", seen)
    there = draft.text
    trouble = change(draft, 2, "1 under 2", seen)
    assert trouble is not None
    assert trouble.theirs == there == draft.text == draft.path.read_text()
    assert "1 under 2" in trouble.mine


def test_an_outside_change_just_before_an_edit_is_not_written_over(desk):
    """The disk is looked at before every edit, watched or not."""
    draft = desk.open(PIECE)
    seen = draft.state.revision
    draft.path.write_text(draft.text.replace("Tideline", "Ebb") + "# a remark of hers\n")
    assert change(draft, 2, "1 over 2", seen) is None
    text = draft.path.read_text()
    assert "Ebb" in text
    assert "# a remark of hers" in text
    assert "1 over 2" in text


def test_two_good_changes_that_make_an_error_together_are_shown(desk):
    """One window takes a yarn out of use and away, the other uses it: no line disagrees."""
    draft = desk.open(PIECE)
    text = draft.text + '\n[figure.new]\nplaces = 2\nspans = ["1 over 2"]\n'
    draft.change(lambda _: text, "a figure", draft.state.revision)
    seen = draft.state.revision
    draft.change(lambda t: t.replace("[figure.new]", "[figure.other]"), "renamed", seen)
    trouble = change(draft, 2, "new at 1", seen)
    assert trouble is not None
    assert "new at 1" not in draft.path.read_text()


def test_an_edit_that_cannot_be_made_leaves_everything(desk):
    draft = desk.open(PIECE)
    before, revision = draft.text, draft.state.revision
    with pytest.raises(NotEditable):
        change(draft, 99, "1 over 2")
    assert (draft.text, draft.state.revision) == (before, revision)
    assert draft.path.read_text() == before


def test_a_save_that_fails_acknowledges_nothing(desk, monkeypatch):
    draft = desk.open(PIECE)
    before = draft.path.read_text()

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(desk.folder, "save", full)
    with pytest.raises(OSError, match="space"):
        change(draft, 2, "1 over 2")
    assert draft.path.read_text() == before
    monkeypatch.undo()
    assert change(draft, 3, "1 over 2") is None
    assert draft.path.read_text() == draft.text


def test_killed_between_journal_and_file_nothing_is_lost(folder, desk, monkeypatch):
    """The journal has the edit, the file not yet: on opening, the file stands, undo has the edit."""
    draft = desk.open(PIECE)
    before = draft.text
    made = add_move(before, 2, "1 over 2")
    desk.journal.add(PIECE, made, "1 over 2")
    desk.journal.close()
    journal = Journal(folder)
    again = Desk(Folder(folder), journal).open(PIECE)
    assert again.text == before
    again.undo()
    assert again.text == made
    journal.close()


def test_a_file_that_is_not_text_opens_with_a_sentence_and_is_left_alone(desk, folder):
    path = folder / "odd.toml"
    path.write_bytes(b'title = "\xff\xfe"')
    draft = desk.open("odd")
    assert "UTF-8" in draft.fault
    with pytest.raises(Refused):
        draft.change(lambda _: "x = 1", "text", draft.state.revision)
    assert path.read_bytes() == b'title = "\xff\xfe"'


def test_the_workshop_of_the_folder_stands_behind_a_draft_and_is_watched(desk, folder):
    draft = desk.open(PIECE)
    assert draft.piece.draft.workshop_text
    workshop = folder / "workshop.toml"
    workshop.write_text(workshop.read_text() + "\n# more\n")
    assert draft.look()
    assert draft.piece.draft.workshop_text.endswith("# more\n")


def test_a_workshop_above_the_folder_is_not_read(folder):
    """Nothing outside the folder is read, not even the workshop that the command line would."""
    journal = Journal(folder / "02-tideline")
    desk = Desk(Folder(folder / "02-tideline"), journal)
    draft = desk.open("tideline")
    assert draft.piece.draft.workshop_text == ""
    assert desk.folder.passed_over(draft.path) == folder / "workshop.toml"
    journal.close()


def test_a_workshop_above_the_folder_is_told_with_what_to_do(folder):
    """Whoever opens one piece's folder learns why its prices are others than `check` gives."""
    inner = folder / "02-tideline"
    with TestClient(studio(inner, door(8765), SECRET), base_url=f"http://{HOST}") as http:
        http.get(f"/?key={SECRET}")
        note = Client(http).call("open", piece="tideline")["outside"]
        assert "not read here" in note["says"]
        assert note["instead"].endswith(f"crossfell studio {folder}")
        (inner / "workshop.toml").write_text('measure = "mm"\n')
        assert Client(http).call("open", piece="tideline")["outside"] is None


def test_a_workshop_that_is_read_is_not_told_as_outside(client):
    assert client.call("open", piece=PIECE)["outside"] is None


def test_the_journal_is_safe_against_power_failure(folder):
    journal = Journal(folder)
    journal.close()
    db = sqlite3.connect(folder / ".crossfell" / "journal.db")
    assert db.execute("pragma journal_mode").fetchone() == ("wal",)
    db.close()
    journal = Journal(folder)
    assert journal._one("pragma synchronous") == (2,)
    journal.close()


def test_names_follow_a_renamed_draft(client):
    client.call("name-version", piece=PIECE, name="before the turn")
    client.call("rename", piece=PIECE, name="Ebb tide")
    told = client.call("versions", piece="02-tideline/Ebb tide")
    assert [v["name"] for v in told["versions"]] == ["before the turn"]
    client.call("open", status=400, piece=PIECE)


@pytest.mark.parametrize("name", ["../up", "a/b", ".hidden", "", "workshop", "tideline", "x" * 200])
def test_odd_or_taken_names_are_refused(client, folder, name):
    there = sorted(p for p in folder.rglob("*.toml"))
    answer = client.call("copy", status=400, piece=PIECE, name=name)
    assert answer["error"]
    assert sorted(p for p in folder.rglob("*.toml")) == there

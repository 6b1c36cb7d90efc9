"""The workshop's tables are changed as drafts are: kept, merged, told, undone, never written over."""

import pytest
from own_page import HOST

from crossfell.draft.reader import read_draft
from crossfell.studio.desk import Desk, Disagreement
from crossfell.studio.folder import Folder, Refused
from crossfell.studio.journal import Journal
from crossfell.studio.workroom import Workroom, workroom_of

PIECE, OTHER = "02-tideline/tideline", "01-first-sampler/first-sampler"


def tables(client, piece=PIECE):
    return client.call("tables", piece=piece)


def row_of(told, path):
    return next(r for t in told["tables"] for r in t["rows"] if r["path"] == path)


def write(client, path, text, piece=PIECE, **more):
    asked = {"edit": {"do": "write", "path": path, "text": text}, **more}
    asked.setdefault("workshop_revision", tables(client, piece)["workshop"]["revision"])
    return client.call("workshop-edit", piece=piece, **asked)


def test_a_row_says_what_draft_and_workshop_say_and_which_stands(client):
    told = tables(client)
    assert (told["file"], told["workshop"]["file"]) == ("tideline.toml", "workshop.toml")
    hour = row_of(told, "rates.hour")
    assert (hour["draft"], hour["workshop"], hour["from"]) == ("", "32", "workshop")
    count = row_of(told, "yarn.slate.count")
    assert (count["draft"], count["workshop"], count["from"]) == ("lea 16/2", "", "draft")
    shared = {t["family"] for t in told["tables"] if t["shared"]}
    assert shared == {"yarn", "strip", "loom", "adhesive", "stock", "rates"}


def test_an_edit_of_the_workshop_keeps_its_remarks_and_reaches_the_price(client, folder):
    before = (folder / "workshop.toml").read_text()
    price = next(n for n in client.call("later", piece=PIECE)["numbers"] if n["key"] == "price")
    write(client, "rates.hour", "40")
    after = (folder / "workshop.toml").read_text()
    assert after == before.replace("hour     = 32", "hour     = 40")
    now = next(n for n in client.call("later", piece=PIECE)["numbers"] if n["key"] == "price")
    assert now["value"] != price["value"]


def test_the_windows_of_every_open_piece_that_reads_it_are_told(client):
    for piece in (PIECE, OTHER):
        client.call("open", piece=piece)
    origin = {"origin": f"http://{HOST}"}
    with client.http.websocket_connect(f"ws://{HOST}/events", headers=origin) as socket:
        write(client, "rates.hour", "40", window="mine")
        told = [socket.receive_json(), socket.receive_json()]
    assert {event["piece"] for event in told} == {PIECE, OTHER}
    assert all(event["workshop"] or event["by"] == "another program" for event in told)


def test_undo_redo_and_every_older_state(client, folder):
    path = folder / "workshop.toml"
    texts = [path.read_text()]
    for hour in ("40", "41"):
        write(client, "rates.hour", hour)
        texts.append(path.read_text())
    for text in (texts[1], texts[0]):
        client.call("workshop-undo", piece=PIECE)
        assert path.read_text() == text
    client.call("workshop-redo", piece=PIECE)
    assert path.read_text() == texts[1]
    told = tables(client)["workshop"]
    assert (told["undo"], told["redo"]) == ("rates.hour 40", "rates.hour 41")
    last = told["recent"][0]["revision"]
    client.call("workshop-restore", piece=PIECE, revision_wanted=last)
    assert path.read_text() == texts[2]


def test_two_windows_in_different_rows_are_merged_and_in_one_row_shown(client, folder):
    seen = tables(client)["workshop"]["revision"]
    write(client, "rates.hour", "40", workshop_revision=seen)
    write(client, "loom.hand", "5", workshop_revision=seen)
    text = (folder / "workshop.toml").read_text()
    assert "hour     = 40" in text
    assert "= 5\n" in text
    edit = {"do": "write", "path": "rates.hour", "text": "50"}
    told = client.call("workshop-edit", 409, piece=PIECE, edit=edit, workshop_revision=seen)
    both = told["disagreement"]
    assert "hour     = 50" in both["mine"]
    assert (folder / "workshop.toml").read_text() == text == both["theirs"]
    client.call(
        "workshop-text",
        piece=PIECE,
        text=both["mine"],
        workshop_revision=both["workshop_revision"],
    )
    assert (folder / "workshop.toml").read_text() == both["mine"]


def test_another_programs_words_are_not_written_over(folder, desk):
    room = workroom_of(desk, desk.open(PIECE).path)
    seen = room.state().revision
    room.path.write_text(room.path.read_text() + "# hers\n")
    assert room.change(lambda t: t.replace("hand             = 4", "hand = 5"), "x", seen) is None
    assert room.path.read_text().endswith("# hers\n")
    assert "hand = 5" in room.path.read_text()
    seen = room.state().revision
    room.path.write_text(room.path.read_text().replace("= 5", "= 6"))
    assert isinstance(room.change(lambda t: t.replace("= 5", "= 7"), "x", seen), Disagreement)
    assert "= 6" in room.path.read_text()


def test_a_new_yarn_goes_into_the_workshop(client, folder):
    revision = tables(client)["workshop"]["revision"]
    edit = {"do": "add-table", "family": "yarn", "name": "moss"}
    client.call("workshop-edit", piece=PIECE, edit=edit, workshop_revision=revision)
    assert "[yarn.moss]" in (folder / "workshop.toml").read_text()
    assert row_of(tables(client), "yarn.moss.count")["from"] == "workshop"
    refused = {"do": "delete-span", "span": 1}
    client.call("workshop-edit", 400, piece=PIECE, edit=refused, workshop_revision=revision)


@pytest.mark.parametrize("move", [True, False])
def test_a_workshop_is_begun_from_the_drafts_tables(client, folder, move):
    (folder / "workshop.toml").unlink()
    path = folder / "02-tideline" / "tideline.toml"
    before = read_draft(path.read_text())
    state = client.call("open", piece=PIECE)
    client.call("workshop-begin", piece=PIECE, move=move, revision=state["revision"])
    workshop = (folder / "workshop.toml").read_text()
    assert "[yarn.slate]" in workshop
    assert ("[yarn.slate]" in path.read_text()) is not move
    after = read_draft(path.read_text(), workshop=workshop)
    assert {n: y.colour for n, y in after.yarns.items()} == {
        n: y.colour for n, y in before.yarns.items()
    }
    assert not [n for n in after.notes if n.severity.value == "error"]
    assert "already" in client.call("workshop-begin", 400, piece=PIECE, revision=0)["error"]
    client.call("undo", piece=PIECE)
    assert "[yarn.slate]" in path.read_text()


def test_a_text_that_cannot_be_read_says_so_where_its_tables_would_be(client, folder):
    (folder / "odd.toml").write_text("[yarn.odd]\ncount = 3 oz\n")
    told = client.call("tables", piece="odd")
    assert told["tables"] == []
    assert "cannot be read" in told["trouble"]


def test_without_a_workshop_there_is_nothing_to_edit(client, folder):
    (folder / "workshop.toml").unlink()
    assert tables(client)["workshop"] is None
    assert "no workshop.toml" in client.call("workshop-undo", 400, piece=PIECE)["error"]


def test_a_workshop_outside_the_folder_is_not_touched(folder):
    journal = Journal(folder / "02-tideline")
    desk = Desk(Folder(folder / "02-tideline"), journal)
    assert workroom_of(desk, desk.open("tideline").path) is None
    with pytest.raises((Refused, ValueError)):
        Workroom(desk, folder / "workshop.toml").change(lambda t: t + "# x", "x", 0)
    journal.close()

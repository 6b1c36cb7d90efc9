"""The flat picture of the hung piece: asked for in words first, kept by its key, told when none."""

import pytest
from own_page import HOST

PIECE = "02-tideline/tideline"


def address(shape, view, key):
    return f"/hung/{shape}.svg?piece={PIECE}&view={view}&v={key}"


@pytest.fixture
def key(client):
    return client.call("hung", piece=PIECE)["key"]


def test_hung_and_both_from_either_side_are_four_pictures(client, key):
    seen = {}
    for shape in ("hung", "both"):
        for view in ("front", "behind"):
            answer = client.http.get(address(shape, view, key))
            assert answer.status_code == 200
            assert answer.headers["content-type"].startswith("image/svg+xml")
            assert "immutable" in answer.headers["cache-control"]
            seen[answer.headers["etag"]] = answer.text
    assert len(set(seen.values())) == len(seen) == 4


def test_a_picture_that_the_browser_has_is_not_sent_again(client, key):
    answer = client.http.get(address("hung", "front", key))
    again = client.http.get(
        address("hung", "front", key), headers={"if-none-match": answer.headers["etag"]}
    )
    assert (again.status_code, again.content) == (304, b"")


def test_after_an_edit_it_is_another_picture_and_an_old_key_is_not_kept(client, key):
    state = client.call("open", piece=PIECE)
    edit = {"do": "height", "span": 1, "height": "200"}
    client.call("edit", piece=PIECE, edit=edit, revision=state["revision"])
    assert client.call("hung", piece=PIECE)["key"] != key
    assert client.http.get(address("hung", "front", key)).headers["cache-control"] == "no-cache"


@pytest.mark.parametrize("way", ["/hung/drawn.svg", "/hung/hung.svg?view=loom"])
def test_there_is_no_other_such_picture(client, way):
    assert client.http.get(way, headers={"host": HOST}).status_code == 404


def test_a_broken_draft_says_why_there_is_none(client, folder):
    (folder / "odd.toml").write_text("[piece]\ntitle = 3 oz\n")
    assert "errors" in client.call("hung", status=400, piece="odd")["error"]

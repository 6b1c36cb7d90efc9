"""The studio leads through each of its drafts below an address of its own."""

import pytest
from starlette.applications import Starlette
from starlette.routing import Mount
from starlette.testclient import TestClient

from crossfell.loomside.looms import Looms
from small_piece import small_draft

DRAFT = small_draft("1 over 2")


@pytest.fixture
def client(tmp_path):
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / f"{name}.toml").write_text(DRAFT)
    (tmp_path / "bad.toml").write_text("nonsense")

    def path_of(name):
        path = tmp_path / f"{name}.toml"
        if ".." in name or not path.is_file():
            raise ValueError(f"there is no draft {name}")
        return path

    looms = Looms(path_of)
    with TestClient(Starlette(routes=[Mount("/loom", looms)])) as asking:
        yield asking
    looms.close()


def test_each_draft_has_its_own_screen_and_record(client):
    page = client.get("/loom/one~one/")
    assert "At the loom" in page.text
    steps = client.get("/loom/one~one/steps").json()
    event = {
        "id": "a" * 16,
        "kind": "tick",
        "key": steps["steps"][0]["key"],
        "draft": steps["draft"],
    }
    told = client.post("/loom/one~one/events", json={"device": "x", "events": [event]}).json()
    assert told["state"]["at"] == 1
    assert client.get("/loom/two~two/state").json()["at"] == 0
    drawn = next(i for i, step in enumerate(steps["steps"], 1) if step["drawn"])
    picture = client.get(f"/loom/one~one/picture/{steps['draft']}/{drawn}-front.svg")
    assert picture.headers["content-type"] == "image/svg+xml"


def test_a_name_without_its_slash_leads_to_the_screen(client):
    assert (
        client.get("/loom/one~one", follow_redirects=False).headers["location"] == "/loom/one~one/"
    )


@pytest.mark.parametrize(
    ("way", "code"),
    [
        ("none/", 404),
        ("bad/", 409),
        ("..~..~etc/", 404),
        ("one~one/loom.py", 404),
        ("one~one/picture/x/1-front.svg", 404),
    ],
)
def test_what_is_not_there_is_said(client, way, code):
    assert client.get(f"/loom/{way}").status_code == code


def test_the_shell_that_the_worker_keeps_is_all_there(client):
    import re

    worker = client.get("/loom/one~one/worker.js").text
    shell = re.findall(r'"([^"]+)"', worker[worker.index("SHELL = [") : worker.index("];")])
    assert len(shell) > 10
    for name in shell:
        assert client.get(f"/loom/one~one/{name.removeprefix('./')}").status_code == 200, name


def test_the_studio_leads_only_who_has_its_secret(tmp_path):
    from crossfell.studio.app import studio
    from crossfell.studio.guard import door

    (tmp_path / "low.toml").write_text(DRAFT)
    home = "http://127.0.0.1:8765"
    with TestClient(studio(tmp_path, door(8765), "secret"), base_url=home) as asking:
        assert asking.get("/loom/low/").status_code == 403
        asking.get("/?key=secret")
        assert "At the loom" in asking.get("/loom/low/").text
        assert asking.get("/loom/low/state").json()["at"] == 0
        assert asking.post("/loom/low/events", json={"events": []}).status_code == 403
        told = asking.post("/loom/low/events", json={"events": []}, headers={"origin": home})
        assert told.json()["saved"] == []
        assert asking.get("/loom/elsewhere/").status_code == 404

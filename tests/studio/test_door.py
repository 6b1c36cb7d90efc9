"""Nobody but a browser of this machine with the secret of this start may talk to the studio."""

import pytest
from own_page import HOST, SECRET
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from crossfell.studio.app import studio
from crossfell.studio.guard import door

ORIGIN = {"origin": f"http://{HOST}"}


@pytest.fixture
def http(folder):
    with TestClient(studio(folder, door(8765), SECRET), base_url=f"http://{HOST}") as http:
        yield http


def test_without_the_secret_nothing_is_shown(http):
    for path in ("/", "/static/studio.js", "/whole/front.svg?piece=02-tideline/tideline"):
        assert http.get(path).status_code == 403
    assert http.get("/?key=wrong").status_code == 403
    assert http.post("/api/pieces", json={}, headers=ORIGIN).status_code == 403


def test_the_secret_goes_from_the_address_into_a_cookie(http):
    answer = http.get(f"/?key={SECRET}", follow_redirects=False)
    assert answer.status_code == 303
    assert answer.headers["location"] == "/"
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie


def test_another_name_for_this_machine_is_refused(http):
    """A name that an attacker points at 127.0.0.1 does not reach the drafts."""
    http.get(f"/?key={SECRET}")
    for host in ("evil.example:8765", "127.0.0.1:9999", ""):
        assert http.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("origin", ["http://evil.example", "null", f"https://{HOST}", None])
def test_another_page_cannot_change_anything(http, origin):
    http.get(f"/?key={SECRET}")
    headers = {"origin": origin} if origin else {}
    answer = http.post("/api/new", json={"title": "Stolen"}, headers=headers)
    assert answer.status_code == 403


def test_another_page_cannot_listen(http):
    http.get(f"/?key={SECRET}")
    events = f"ws://{HOST}/events"
    for headers in ({"origin": "http://e.example"}, {}, {**ORIGIN, "host": "e.example"}):
        with pytest.raises(WebSocketDisconnect), http.websocket_connect(events, headers=headers):
            pass
    with http.websocket_connect(events, headers=ORIGIN) as socket:
        http.post("/api/new", json={"title": "Heard"}, headers=ORIGIN)
        assert socket.receive_json() == {"event": "pieces"}


def test_no_answer_lets_a_page_run_script_of_a_draft(http):
    """Every answer has a policy; none allows script within a page, and only pictures style."""
    http.get(f"/?key={SECRET}")
    piece = "?piece=02-tideline/tideline"
    for path in ("/", f"/whole/front.svg{piece}", "/nothing"):
        policy = http.get(path).headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe-inline" not in policy.split("style-src")[0]
        assert http.get(path).headers["x-content-type-options"] == "nosniff"
    assert "unsafe" not in http.get("/").headers["content-security-policy"]


@pytest.mark.parametrize(
    "piece",
    ["../secret", "/etc/passwd", "02-tideline/../../secret", "workshop", "..%2fsecret", "\x00", ""],
)
def test_nothing_outside_the_folder_is_read(http, folder, piece):
    (folder.parent / "secret.toml").write_text("secret")
    http.get(f"/?key={SECRET}")
    answer = http.post("/api/open", json={"piece": piece}, headers=ORIGIN)
    assert answer.status_code == 400
    assert set(answer.json()) == {"error"}
    assert http.get("/whole/front.svg", params={"piece": piece}).status_code == 404
    assert http.get("/made", params={"piece": piece, "file": "x"}).status_code == 404


@pytest.mark.parametrize(
    "path",
    [
        "/whole/front.svg?revision=abc",
        "/whole/front.svg?revision=99999",
        "/whole/front.svg?revision=٣",
        "/whole/under.svg",
        "/whole/front.svg?style=loud",
        "/made?file=../../first-sampler.toml",
        "/fonts/../guard.py",
        "/static/../guard.py",
    ],
)
def test_what_is_not_there_is_not_found_and_nothing_breaks(http, path):
    http.get(f"/?key={SECRET}")
    sign = "&" if "?" in path else "?"
    answer = http.get(f"{path}{sign}piece=02-tideline/tideline")
    assert answer.status_code == 404
    assert "Traceback" not in answer.text


def test_pictures_carry_a_tag_and_are_not_sent_twice(http):
    http.get(f"/?key={SECRET}")
    path = "/whole/front.svg?small=1&piece=02-tideline/tideline"
    first = http.get(path)
    assert first.status_code == 200
    assert first.headers["content-type"] == "image/svg+xml"
    assert first.headers["cache-control"] == "no-cache"
    again = http.get(path, headers={"if-none-match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert "immutable" in http.get(f"{path}&v=digest").headers["cache-control"]


def test_a_link_out_of_the_folder_is_not_followed(http, folder):
    (folder.parent / "secret.toml").write_text("[piece]\ntitle = 'Secret'")
    (folder / "link.toml").symlink_to(folder.parent / "secret.toml")
    (folder / "away").symlink_to(folder.parent)
    http.get(f"/?key={SECRET}")
    pieces = http.post("/api/pieces", json={}, headers=ORIGIN).json()["pieces"]
    assert [p["piece"] for p in pieces] == [
        "01-first-sampler/first-sampler",
        "02-tideline/tideline",
    ]


@pytest.mark.parametrize(
    "body",
    ["", "[]", "nonsense", '{"piece": 3}', '{"piece": "x"}', "[" * 9000, '{"slop": NaN}',
     '{"slop": 1e999}', '{"title": "\\ud800"}'],
)  # fmt: skip
def test_whatever_is_asked_the_answer_is_one_sentence(http, body):
    http.get(f"/?key={SECRET}")
    headers = {**ORIGIN, "content-type": "application/json"}
    answer = http.post("/api/open", content=body, headers=headers)
    assert answer.status_code in {400, 415}
    assert isinstance(answer.json()["error"], str)


@pytest.mark.parametrize(
    ("call", "asked"),
    [
        ("shelve", {"state": {"x": 1}}),
        ("shelve", {"state": 3}),
        ("make", {"parts": 1.5}),
        ("make", {"parts": "cards"}),
        ("restore", {"revision_wanted": 10**30}),
        ("edit", {"revision": -(2**64), "edit": {"do": "turn", "side": "left"}}),
        ("point", {"x": 1e300, "y": 0}),
    ],
)
def test_what_makes_no_sense_is_refused_in_a_sentence(http, call, asked):
    http.get(f"/?key={SECRET}")
    piece = {"piece": "01-first-sampler/first-sampler"}
    answer = http.post(f"/api/{call}", json={**piece, **asked}, headers=ORIGIN)
    assert answer.status_code == 400, answer.text
    assert isinstance(answer.json()["error"], str)

"""A tablet comes in with a code that is used once; its channel is the studio's own."""

import ssl
import stat

import pytest
from starlette.testclient import TestClient

from crossfell.studio.app import bare_studio
from crossfell.studio.certificate import certificate, fingerprint
from crossfell.studio.guard import Door, Guard
from crossfell.studio.pairing import MOST_WRONG, WAIT_S, Pairing

HOST = "192.168.7.4:8800"
ORIGIN = {"origin": f"https://{HOST}"}


class Clock:
    now = 0.0

    def __call__(self):
        return self.now


@pytest.fixture
def told():
    return []


@pytest.fixture
def pairing(told):
    return Pairing(told.append, clock=Clock())


@pytest.fixture
def tablet(folder, pairing):
    app = Guard(bare_studio(folder), Door(frozenset({HOST}), scheme="https"), pairing)
    with TestClient(app, base_url=f"https://{HOST}") as http:
        yield http


def code_of(told):
    return told[-1].split(":")[1].strip()


def test_a_stranger_sees_the_page_that_asks_for_the_code_and_nothing_else(tablet):
    answer = tablet.get("/")
    assert answer.status_code == 200
    assert "Pair this tablet" in answer.text
    assert "script" not in answer.headers["content-security-policy"]
    assert tablet.get("/static/index.css").status_code == 200
    for path in ("/static/studio.js", "/whole/front.svg?piece=02-tideline/tideline", "/model.glb"):
        assert tablet.get(path).status_code == 403
    assert tablet.post("/api/pieces", json={}, headers=ORIGIN).status_code == 403


def test_the_code_lets_one_tablet_in_once(tablet, told, folder, pairing):
    code = code_of(told)
    answer = tablet.post("/pair", data={"code": code}, headers=ORIGIN, follow_redirects=False)
    assert answer.status_code == 303
    cookie = answer.headers["set-cookie"].lower()
    assert "secure" in cookie
    assert "httponly" in cookie
    assert tablet.post("/api/pieces", json={}, headers=ORIGIN).status_code == 200
    assert pairing.tried(code) is None
    assert code_of(told) != code


def test_a_code_from_another_page_is_not_taken(tablet, told):
    evil = {"origin": "https://evil.example"}
    answer = tablet.post("/pair", data={"code": code_of(told)}, headers=evil)
    assert answer.status_code == 403
    assert tablet.post("/api/pieces", json={}, headers=ORIGIN).status_code == 403


def test_after_some_wrong_codes_there_is_a_new_one_and_a_wait(pairing, told):
    code = code_of(told)
    wrong = "00000000" if "00000000" not in code.replace(" ", "") else "11111111"
    for _ in range(MOST_WRONG):
        assert pairing.tried(wrong) is None
    assert pairing.tried(code) is None
    fresh = code_of(told)
    assert fresh != code
    assert pairing.tried(fresh) is None
    pairing._clock.now = WAIT_S + 1
    assert pairing.tried(fresh)


@pytest.mark.parametrize("code", ["", "x" * 5000, "٣٣٣٣٣٣٣٣", "\x00", "12345678' or 1=1"])
def test_whatever_is_typed_is_only_wrong(tablet, code):
    assert tablet.post("/pair", data={"code": code}, headers=ORIGIN).status_code == 403


def test_the_certificate_is_made_once_and_its_key_is_the_owners(tmp_path):
    """Python's own TLS reads it, for the address, as the certificate of the key."""
    crt, key, shown = certificate(tmp_path, "192.168.7.4")
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(crt, key)
    der = ssl.PEM_cert_to_DER_cert(crt.read_text())
    import hashlib

    assert shown.replace(":", "").lower() == hashlib.sha256(der).hexdigest()
    assert stat.S_IMODE(key.stat().st_mode) == 0o600
    assert certificate(tmp_path, "192.168.7.4")[2] == shown == fingerprint(crt)
    assert certificate(tmp_path, "192.168.7.5")[2] != shown


def test_a_damaged_certificate_is_made_anew(tmp_path):
    crt, _, shown = certificate(tmp_path, "192.168.7.4")
    crt.write_text("not a certificate")
    assert certificate(tmp_path, "192.168.7.4")[2] != shown

"""Hours, price and findings come from a process aside, the same as here, whatever ends it."""

import json

import pytest

from crossfell.studio.aside import Aside
from crossfell.studio.folder import Refused
from crossfell.studio.showing import later_numbers, notes_of

PIECE = "01-first-sampler/first-sampler"


@pytest.fixture
def aside():
    made = Aside()
    yield made
    made.close()


def test_it_says_what_would_be_said_here_also_after_it_was_killed(desk, aside):
    piece = desk.open(PIECE).piece
    here = {"numbers": later_numbers(piece), "notes": notes_of(piece, piece.notes)}
    assert aside.later(piece.draft) == json.loads(json.dumps(here))
    aside._process.kill()
    assert aside.later(piece.draft)["numbers"] == here["numbers"]


def test_what_cannot_be_worked_out_is_refused_with_a_sentence(desk, aside, monkeypatch):
    monkeypatch.setattr("sys.executable", "/bin/false")
    with pytest.raises(Refused, match="could not be worked out"):
        aside.later(desk.open(PIECE).piece.draft)


def test_closing_ends_the_process(desk, aside):
    aside.later(desk.open(PIECE).piece.draft)
    process = aside._process
    aside.close()
    assert process.poll() is not None

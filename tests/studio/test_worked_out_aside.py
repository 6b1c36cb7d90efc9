"""Hours, price and findings come from a process aside, the same as here, whatever ends it."""

import json
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from crossfell.studio.aside import Aside
from crossfell.studio.folder import Refused
from crossfell.studio.showing import later_numbers, notes_of

PIECE = "01-first-sampler/first-sampler"
SHE = ("window", PIECE, "stands")


@pytest.fixture
def aside():
    made = Aside()
    yield made
    made.close()


def test_it_says_what_would_be_said_here_also_after_it_was_killed(desk, aside):
    piece = desk.open(PIECE).piece
    here = {"numbers": later_numbers(piece), "notes": notes_of(piece, piece.notes)}
    assert aside.later(piece.draft, SHE) == json.loads(json.dumps(here))
    aside._process.kill()
    assert aside.later(piece.draft, SHE)["numbers"] == here["numbers"]


def test_what_cannot_be_worked_out_is_refused_with_a_sentence(desk, aside, monkeypatch):
    monkeypatch.setattr("sys.executable", "/bin/false")
    with pytest.raises(Refused, match="could not be worked out"):
        aside.later(desk.open(PIECE).piece.draft, SHE)


def test_closing_ends_the_process(desk, aside):
    aside.later(desk.open(PIECE).piece.draft, SHE)
    process = aside._process
    aside.close()
    assert process.poll() is not None


def test_who_asks_again_does_not_wait_for_the_first_answer(desk, aside):
    draft = desk.open(PIECE).piece.draft
    other = ("another window", PIECE, "stands")
    with ThreadPoolExecutor(8) as several:
        first = several.submit(aside.later, draft, other)
        while not aside._busy:
            time.sleep(0.005)
        waiting = [several.submit(aside.later, draft, SHE) for _ in range(5)]
        answers = [one.result(60) for one in waiting]
        assert first.result(60) is not None
    assert sum(answer is not None for answer in answers) == 1


def test_nothing_is_started_once_it_is_closed(desk, aside):
    aside.close()
    with pytest.raises(Refused):
        aside.later(desk.open(PIECE).piece.draft, SHE)
    assert aside._process is None

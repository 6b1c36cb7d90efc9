"""What is meant is written whole, whatever it is called: it is data, not read out of a sentence."""

import json

import pytest

from crossfell.draft.reader import read_draft
from crossfell.studio.remedies import remedy_of
from small_piece import small_draft

NAMES = ["chalk`s", "tide: low", "did you mean `x`", "ash, of (roses)", "海辺の砂"]


@pytest.mark.parametrize("name", NAMES)
def test_a_misspelt_yarn_is_written_as_it_is_called(name):
    key = json.dumps(name, ensure_ascii=False)
    text = small_draft("1 over 2").replace("[yarn.chalk]", f"[yarn.{key}]")
    text = text.replace("10 chalk", f"10 {name[:-1]}").replace("10 slate", f"10 {name[:-1]}")
    text = text.replace('rod = "steel 3"', f'rod = "steel 3"\nweft = {json.dumps(name[:-1])}')
    draft = read_draft(text)
    found = [remedy_of(note, draft) for note in draft.notes if note.code == "no-such-yarn"]
    assert {remedy["edit"]["text"] for remedy in found if remedy} == {name}


def test_a_misspelt_move_is_written_right():
    draft = read_draft(small_draft("1 ovr 2"))
    (note,) = [note for note in draft.notes if note.code == "not-a-move"]
    assert remedy_of(note, draft)["edit"]["text"] == "over"


def test_where_nothing_is_near_nothing_is_offered():
    draft = read_draft(small_draft("quux at 1"))
    (note,) = [note for note in draft.notes if note.code == "no-such-figure"]
    assert remedy_of(note, draft) is None

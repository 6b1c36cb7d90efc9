"""Every number below the picture explains itself, and leads down to its parts."""

import pytest

from crossfell.draft.reader import read_draft
from crossfell.facts.why import because
from crossfell.piece import Piece
from crossfell.studio.explaining import why_told
from small_piece import small_draft

PIECE = "02-tideline/tideline"


@pytest.fixture
def shown(client):
    told = client.call("open", piece=PIECE)
    return {number["key"]: number for number in told["numbers"]}


def why(client, what):
    return client.call("why", piece=PIECE, what=what)


def test_each_of_them_explains_itself_in_plain_words_first(client, shown):
    later = client.call("later", piece=PIECE, window="w")["numbers"]
    for number in [*shown.values(), *later]:
        told = why(client, number["why"])
        assert told["what"] == number["why"]
        assert len(told["says"]) > 40
        assert "{" not in told["says"]
    lifted = why(client, shown["lifted"]["why"])
    assert shown["lifted"]["value"] == f"{lifted['value']} units"
    assert lifted["says"].startswith(f"Lifted out by themselves, {lifted['value']} strips")


@pytest.mark.parametrize(("key", "kind"), [("lifted", "spans."), ("bobbins", "units."),
                                           ("yarn", "stock.yarn.")])  # fmt: skip
def test_a_sum_is_that_of_its_parts_and_each_can_be_asked_for(client, shown, key, kind):
    told = why(client, shown[key]["why"])
    (row,) = told["put"]
    parts = [why(client, part["way"]) for part in row["parts"]]
    assert all(part["what"].startswith(kind) for part in parts)
    assert sum(part["value"] for part in parts) == pytest.approx(told["value"], rel=1e-12)


def test_the_size_leads_to_height_and_on_to_one_band(client, shown):
    ways = [row["way"] for row in why(client, shown["size"]["why"])["put"]]
    assert ways == ["piece.width", "piece.height"]
    bands, spans = why(client, "piece.height")["put"]
    assert (len(bands["parts"]), len(spans["parts"])) == (15, 14)
    band = why(client, bands["parts"][0]["way"])
    assert band["formula"].startswith("Σ")
    assert not band["solved"]


def test_lines_are_those_of_the_piece_whatever_it_is_called():
    text, workshop = small_draft("1 over 2"), "[loom]\nhand = 5\n"
    draft = read_draft(text, file="the workshop door.toml", workshop=workshop)
    piece, rows = Piece(draft), text.split("\n")
    lines = why_told(because(piece, "piece.width"), draft)["lines"]
    assert {rows[line - 1] for line in lines} == {"pitch = 28", 'order = "a*4"'}
    assert why_told(because(piece, "plan.windows"), draft)["lines"] == []

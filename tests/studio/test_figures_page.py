"""The page *Figures*: a gallery of a size, more like one of them, a piece begun with it."""

import pytest

from crossfell.base.notes import Severity
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece


def test_a_gallery_shows_figures_that_end_as_they_began(client):
    told = client.call("figures", places=4, spans=3, ends="closed", look="")
    assert told["says"].startswith("223 figures, 50 with a symmetry")  # the table of docs/figures
    assert len({one["name"] for one in told["figures"]}) == 12
    for one in told["figures"]:
        rows, layers = one["ribbons"]["rows"], one["ribbons"]["layers"]
        assert len(rows) == 7
        assert rows[0] == rows[3] == rows[6]
        assert all(sorted(row) == [0, 1, 2, 3] for row in [*rows, *layers])


def test_more_like_one_begins_with_itself(client):
    name = client.call("figures", places=4, spans=3, look="open")["figures"][5]["name"]
    assert client.call("figures", like=name, look="")["figures"][0]["name"] == name


def test_a_piece_begun_with_a_figure_can_be_worked_out(client, folder):
    one = client.call("figures", places=4, spans=2, ends="mirrored", look="easy")["figures"][0]
    name = client.call("figure-begin", name=one["name"])["piece"]
    text = (folder / f"{name}.toml").read_text()
    assert one["text"] in text
    piece = Piece(read_draft(text))
    doubts = {note.code for note in piece.notes if note.severity is not Severity.ADVICE}
    assert doubts == {"price-missing"}


@pytest.mark.parametrize(
    ("call", "asked", "says"),
    [
        ("figures", {"places": 9, "spans": 3}, "2 to 6 places"),
        ("figures", {"places": 4, "spans": 3, "look": "nice"}, "a look is one of"),
        ("figures", {"like": "f4x3r2n9999"}, "there are 223"),
        ("figures", {"like": "f9x6r3n1"}, "no figure of this gallery"),
        ("figure-begin", {"name": "gate"}, "no figure of this gallery"),
        ("figure-begin", {"name": "f4x3r2n9999"}, "there are 223"),
    ],
)
def test_what_is_no_figure_gets_a_sentence(client, call, asked, says):
    assert says in client.call(call, 400, **asked)["error"]

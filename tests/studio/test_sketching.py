"""The page *Sketch*: what is painted is shown by units, bettered, and kept as a draft."""

import base64
import io

import pytest
from PIL import Image

from crossfell.base.notes import Severity
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece

RUST, SLATE, ANY, WALL = 0, 1, -1, -2
YARNS = [
    {"name": "rust", "colour": "#a85432", "own": True},
    {"name": "slate", "colour": "#2b3a4a", "own": True},
]


def painted(bands=10, places=12, **more):
    """A stroke of two rust units that goes to the right."""
    cells = [[SLATE] * places for _ in range(bands)]
    for row in range(bands):
        at = min(row, places - 2)
        cells[row][at : at + 2] = [RUST, RUST]
    usual = {"source": "invented", "yarns": YARNS, "counts": None, "places": places, "bands": bands,
             "height": 140, "pitch": 0, "front": "rust slate", "title": "Slope", "easy": 0.2,
             "cells": cells, "window": "w"}  # fmt: skip
    return usual | more


def units(answer):
    return {row["colour"]: row["units"] for row in answer["counts"]}


def test_what_is_painted_is_shown_at_once(client):
    answer = client.call("sketch", **painted())
    assert answer["shown"] == painted()["cells"]
    assert units(answer) == {RUST: 2, SLATE: 10}


def test_counts_are_hers(client):
    answer = client.call("sketch", **painted(counts=[3, 7, 2]))
    assert units(answer) == {RUST: 3, SLATE: 7, WALL: 2}
    for row in answer["shown"]:
        assert [row.count(c) for c in (RUST, SLATE, WALL)] == [3, 7, 2]
    assert any("you have 3 in every band" in says for says in answer["says"])
    refused = client.call("sketch", status=400, **painted(counts=[3, 7, 1]))
    assert "12 places want as many" in refused["error"]


def test_it_gets_better_with_its_bound_and_is_kept_as_a_draft(client, folder):
    asked = painted()
    first = client.call("sketch", **asked)
    better = client.call("sketch-better", **asked, shown=first["shown"], stage="stretch")
    best = client.call("sketch-better", **asked, shown=better["shown"], stage="whole")
    assert best["proved"]
    assert any("proved best" in says for says in best["says"])
    kept = client.call("sketch-keep", **asked, shown=best["shown"])
    assert kept["piece"] == "slope"
    piece = Piece(read_draft((folder / "slope.toml").read_text()))
    doubts = {note.code for note in piece.notes if note.severity is not Severity.ADVICE}
    assert doubts == {"price-missing"}  # of yarns that are invented
    assert len(piece.draft.spans) == 9
    assert "slope" in [card["piece"] for card in client.call("pieces")["pieces"]]
    assert (
        "already" in client.call("sketch-keep", status=400, **asked, shown=best["shown"])["error"]
    )


def test_only_what_units_can_show_is_kept(client):
    asked = painted()
    wrong = [[RUST] * 12] * 10
    assert "not of this sketch" in client.call("sketch-keep", 400, **asked, shown=wrong)["error"]


def test_a_draft_lends_its_yarns_and_nothing_above_the_folder_is_read(client, folder):
    (folder.parent / "workshop.toml").write_text(
        '[yarn.secret]\ncount = "tex 200"\ncolour = "#123456"\n'
    )
    (folder / "workshop.toml").unlink()
    sources = client.call("sketch-begin")["sources"]
    assert sources[-1]["source"] == "invented"
    assert "secret" not in str(sources)
    tide = next(s for s in sources if s["source"] == "02-tideline/tideline")
    yarns = tide["yarns"][:2]
    order = " ".join(yarn["name"] for yarn in yarns)
    asked = painted(source=tide["source"], yarns=yarns, front=order)
    shown = client.call("sketch", **asked)["shown"]
    client.call("sketch-keep", **asked, shown=shown)
    assert f"[yarn.{yarns[0]['name']}]" in (folder / "slope.toml").read_text()


def test_a_picture_is_painted_under_the_grid(client):
    image = Image.new("RGB", (40, 40), "#a85432")
    image.paste("#f4f1ea", (20, 0, 40, 40))
    out = io.BytesIO()
    image.save(out, "PNG")
    data = base64.b64encode(out.getvalue()).decode()
    told = client.call("sketch-picture", data=data, name="half.png")
    assert told["aspect"] == 1
    where = {"key": told["key"], "yarns": YARNS, "bands": 4, "places": 4}
    full = {"left": 0, "top": 0, "width": 1, "height": 1}
    answer = client.call("sketch-from", **where, box=full, wall=True)
    assert answer["cells"] == [[RUST, RUST, WALL, WALL]] * 4
    moved = client.call("sketch-from", **where, box=full | {"top": 0.5}, wall=True)
    assert moved["cells"] == [[ANY] * 4] * 2 + [[RUST, RUST, WALL, WALL]] * 2


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"cells": [[9] * 12] * 10}, "not listed"),
        ({"cells": [[0] * 11] * 10}, "10 rows of 12"),
        ({"cells": "all"}, "10 rows of 12"),
        ({"cells": [[0], [0, 1]]}, "10 rows of 12"),
        ({"cells": [[ANY] * 12] * 10}, "nothing is painted"),
        ({"places": 1}, "2 to 200 places"),
        ({"bands": 100_000}, "2 to 200 bands"),
        ({"yarns": []}, "1 to 8 yarns"),
        ({"yarns": ["rust"]}, "names and colours"),
        ({"source": "../../etc"}, "no draft"),
        ({"height": 10}, "no unit can lean"),
        ({"front": "rust moss"}, "front to back"),
    ],
)
def test_what_makes_no_sense_gets_a_sentence(client, change, says):
    assert says in client.call("sketch", 400, **painted(**change))["error"]


@pytest.mark.parametrize(
    ("call", "asked", "says"),
    [
        ("sketch-picture", {"data": "%%%"}, "base64"),
        ("sketch-picture", {"data": "AAAA"}, "no PNG, JPEG, WebP or SVG"),
        ("sketch-from", {"key": "gone"}, "choose it again"),
    ],
)
def test_what_is_no_picture_gets_a_sentence(client, call, asked, says):
    assert says in client.call(call, 400, **asked)["error"]


def test_what_stands_stays_and_only_the_stretch_that_was_painted_is_bettered(client):
    asked = painted(bands=24, places=12, counts=[2, 10, 0])
    first = client.call("sketch", **asked)
    assert not first["stands"]
    best = client.call("sketch-better", **asked, shown=first["shown"], stage="stretch")
    cells = [list(row) for row in asked["cells"]]
    cells[20] = [RUST, RUST] + [SLATE] * 10
    asked["cells"] = cells
    after = client.call("sketch", **asked, shown=best["shown"])
    assert after["stands"]
    assert after["shown"] == best["shown"]
    rows = {"first": 18, "last": 22}
    better = client.call("sketch-better", **asked, shown=best["shown"], stage="stretch", rows=rows)
    assert better["shown"][:18] == best["shown"][:18]
    assert better["shown"][23:] == best["shown"][23:]


def test_what_was_shown_of_another_sketch_is_no_start(client):
    other = client.call("sketch", **painted(counts=[3, 9, 0]))["shown"]
    answer = client.call("sketch", **painted(), shown=other)
    assert not answer["stands"]
    assert answer["shown"] == painted()["cells"]
    small = client.call("sketch", **painted(bands=6), shown=other)
    assert len(small["shown"]) == 6

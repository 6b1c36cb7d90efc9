"""Papers are looked at page by page, as they are printed."""

import io
import struct
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

PIECE = "01-first-sampler/first-sampler"


@pytest.fixture
def cards(client, folder):
    client.call("make", piece=PIECE, parts=["cards"])
    return folder / "01-first-sampler" / "first-sampler.made" / "cards.pdf"


def page(client, number, **more):
    query = "&".join(f"{k}={v}" for k, v in {"piece": PIECE, "file": "cards.pdf", **more}.items())
    return client.http.get(f"/page/{number}.png?{query}")


def test_pages_are_as_many_and_as_large_as_another_reader_finds(client, cards):
    """Checked against pypdf, which is another library."""
    told = client.call("pages", piece=PIECE, file="cards.pdf")
    boxes = [p.mediabox for p in PdfReader(cards).pages]
    assert told["sizes"] == [
        [pytest.approx(float(side) * 25.4 / 72, abs=0.1) for side in (box.width, box.height)]
        for box in boxes
    ]


def test_a_page_is_a_png_that_another_reader_opens_with_ink_on_white(client, cards):
    """Checked by Pillow."""
    answer = page(client, 0, wide=700)
    assert answer.headers["content-type"] == "image/png"
    picture = Image.open(io.BytesIO(answer.content)).convert("L")
    assert picture.width == pytest.approx(700, abs=1)
    ink = np.asarray(picture)
    assert ink[:8].min() == 255  # the margin
    assert ink.min() < 80
    assert struct.unpack(">I", answer.content[16:20])[0] == picture.width


def test_a_page_that_the_browser_has_is_not_sent_again(client, cards):
    key = client.call("pages", piece=PIECE, file="cards.pdf")["key"]
    answer = page(client, 0, wide=700, v=key)
    assert "immutable" in answer.headers["cache-control"]
    query = f"/page/0.png?piece={PIECE}&file=cards.pdf&wide=700"
    again = client.http.get(query, headers={"if-none-match": answer.headers["etag"]})
    assert again.status_code == 304


@pytest.mark.parametrize(
    ("number", "more"),
    [
        (999, {}),
        (0, {"wide": "50000"}),
        (0, {"file": "../first-sampler.toml"}),
        (0, {"file": "no.pdf"}),
    ],
)
def test_there_is_no_other_such_page(client, cards, number, more):
    assert page(client, number, **more).status_code == 404


def test_a_link_out_of_the_folder_is_not_followed(client, cards, tmp_path):
    outside = tmp_path / "outside.pdf"
    outside.write_bytes(cards.read_bytes())
    (cards.parent / "linked.pdf").symlink_to(outside)
    assert client.call("pages", status=400, piece=PIECE, file="linked.pdf")["error"]
    assert page(client, 0, file="linked.pdf").status_code == 404


def test_what_is_no_pdf_says_so(client, cards: Path):
    cards.write_bytes(b"no paper")
    assert (
        "make it again" in client.call("pages", status=400, piece=PIECE, file="cards.pdf")["error"]
    )

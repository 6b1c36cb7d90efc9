"""Labels: one for each side of each thing, on the stock's places, fitting, never markup."""

import csv
from functools import lru_cache
from io import StringIO
from pathlib import Path

import pypdfium2
import pytest

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.drawings.lettering import width_em
from crossfell.papers.labels import STOCKS, _set, labels_csv, labels_of, labels_pdf, mark_svg
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"
PAGES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


@lru_cache
def example(name, paper="A4"):
    draft = read_file(next((EXAMPLES / name).glob("*.toml")))
    return Piece(read_draft(draft.text.replace("[piece]", f'[piece]\npaper = "{paper}"')))


@pytest.mark.parametrize("paper", PAGES)
def test_a_sheet_of_labels_lies_on_its_page(paper):
    stock, (width, height) = STOCKS[paper], PAGES[paper]
    right = stock.left + (stock.columns - 1) * stock.step_x + stock.width
    low = stock.top + (stock.rows - 1) * stock.step_y + stock.height
    assert right <= width + 1e-9
    assert low <= height + 1e-9
    assert stock.left == pytest.approx(width - right, abs=0.01)
    assert stock.top == pytest.approx(height - low, abs=0.6)


def test_everything_has_a_label_for_each_side():
    piece = example("02-tideline")
    labels = labels_of(piece)
    on = {(label.thing, label.name, label.side) for label in labels}
    assert len(on) == len(labels)
    for unit in piece.draft.units:
        for thing in ("unit", "bobbin", "weight"):
            assert {(thing, unit.name, "front"), (thing, unit.name, "back")} <= on
    bands = len(piece.draft.bands)
    assert len(labels) == 2 * (3 * len(piece.draft.units) + 2 * bands)


@pytest.mark.parametrize("paper", PAGES)
def test_words_fit_beside_the_mark(paper):
    stock = STOCKS[paper]
    mark = min(stock.height - 6.0, 23.0)
    room = stock.width - mark - 9.0
    for label in labels_of(example("03-long-harvest", paper))[::7]:
        data = _set(label, stock, mark)
        assert data["size"] * width_em(data["name"], bold=True) <= room + 1e-9
        for line in data["lines"]:
            assert line["size"] * width_em(line["text"]) <= room + 1e-9
            assert line["size"] > 1.7  # still legible: 5 pt
        lines = sum(1.1 + 0.67 * line["size"] for line in data["lines"])
        assert 2 + 1.5 + 0.91 * data["size"] + 0.6 + lines + 3.5 < stock.height - 2.4


def test_both_sides_of_a_strip_are_told_apart_in_words_and_in_black():
    document = pypdfium2.PdfDocument(labels_pdf(example("01-first-sampler")))
    page = document[0].get_textpage()
    text = page.get_text_bounded()
    page.close()
    document.close()
    assert text.count("FACE") == 4
    assert text.count("FACE") + text.count("FRONT") == text.count("BACK") == 12


def test_the_list_of_labels_reads_back():
    piece = example("01-first-sampler")
    rows = list(csv.DictReader(StringIO(labels_csv(piece).decode("utf-8-sig"))))
    assert [row["mark"] for row in rows] == [label.mark for label in labels_of(piece)]
    assert rows[0]["line 1"] == "strip inch, first dent hole"


def test_names_are_data():
    text = example("01-first-sampler").draft.text.replace('"First Light"', "'#a $b$ \"c\"'")
    assert b"%PDF" in labels_pdf(Piece(read_draft(text)))[:10]


def test_a_mark_has_its_light_margin():
    svg = mark_svg("crossfell 0123abcd unit a1 front")
    assert 'viewBox="0 0 37 37"' in svg  # version 3: 29 modules and 4 on each side
    assert "M4 4h7v1h-7z" in svg  # the upper left finder begins at the margin


def test_the_same_draft_gives_the_same_labels():
    assert labels_pdf(example("01-first-sampler")) == labels_pdf(example("01-first-sampler"))

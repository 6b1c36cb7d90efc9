"""Labels: one for each side of each thing, on the stock's places, fitting, never markup."""

import csv
from functools import lru_cache
from io import StringIO
from itertools import pairwise
from pathlib import Path

import pypdfium2
import pytest

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.papers.label_sheets import EDGE_MM, PAD_MM, STOCKS, mark_shapes, words_of
from crossfell.papers.labels import labels_csv, labels_of, labels_pdf
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
    for label in labels_of(example("03-long-harvest", paper))[::7]:
        words = words_of(label, stock, "draft 0123abcd", 0.0, 0.0)
        boxes = [text.box() for text in words]
        assert min(box[0] for box in boxes) >= EDGE_MM + PAD_MM - 1e-9
        right = max(box[2] for box in boxes)
        assert right <= stock.width - EDGE_MM - 1.6 - stock.mark + 1e-9
        assert min(box[1] for box in boxes) > EDGE_MM + 0.5
        assert max(box[3] for box in boxes) < stock.height - EDGE_MM - 0.5
        assert all(text.size_mm > 1.7 for text in words)  # still legible: 5 pt
        lines = sorted(boxes, key=lambda box: box[3])
        below = lines[3:]
        assert all(low[3] < high[1] + 0.7 for low, high in pairwise(below))


def test_every_sheet_says_which_page_it_is():
    piece = example("01-first-sampler")
    document = pypdfium2.PdfDocument(labels_pdf(piece))
    for number, page in enumerate(document, 1):
        text = page.get_textpage()
        said = text.get_text_bounded()
        text.close()
        page.close()
        assert f"sheet {number} of {len(document)}" in said
        assert f"{number} of {len(document)}" in said.replace(f"sheet {number} of", "")
    document.close()


def test_both_sides_of_a_strip_are_told_apart_in_words_and_in_black():
    document, text = pypdfium2.PdfDocument(labels_pdf(example("01-first-sampler"))), ""
    for page in document:
        words = page.get_textpage()
        text += words.get_text_bounded()
        words.close()
        page.close()
    document.close()
    assert text.count("FACE") == 8
    assert text.count("FACE") + text.count("FRONT") == text.count("BACK") == 34


def test_the_list_of_labels_reads_back():
    piece = example("01-first-sampler")
    rows = list(csv.DictReader(StringIO(labels_csv(piece).decode("utf-8-sig"))))
    assert [row["mark"] for row in rows] == [label.mark for label in labels_of(piece)]
    assert rows[0]["line 1"] == "strip inch, first dent hole"


def test_names_are_data():
    text = example("01-first-sampler").draft.text.replace('"First Light"', "'#a $b$ \"c\"'")
    assert b"%PDF" in labels_pdf(Piece(read_draft(text)))[:10]


def test_a_mark_has_its_light_margin():
    white, dark = mark_shapes("crossfell 0123abcd unit a1 front", 10.0, 20.0, 37.0)
    assert white.box() == (10.0, 20.0, 47.0, 57.0)  # version 3: 29 modules and 4 on each side
    (left, top), (_, low) = dark.commands[0][1], dark.commands[-1][1]
    assert (left, top - 0.5, low + 0.5) == pytest.approx((14.0, 24.0, 53.0))
    assert max(values[0] for _, values in dark.commands) == pytest.approx(43.0)
    assert dark.stroke_mm == pytest.approx(1.0)  # of a module


def test_the_same_draft_gives_the_same_labels():
    assert labels_pdf(example("01-first-sampler")) == labels_pdf(example("01-first-sampler"))

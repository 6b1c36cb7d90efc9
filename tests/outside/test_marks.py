"""Marks on labels are read again by another library.

Source: zxing-cpp (reads QR codes, ISO/IEC 18004, from pictures) on pages rasterised by PDFium.
"""

from functools import lru_cache
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.papers.label_sheets import STOCKS
from crossfell.papers.labels import labels_of, labels_pdf
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"


@lru_cache
def sampler(paper="A4", name="s"):
    path = next((EXAMPLES / "01-first-sampler").glob("*.toml"))
    text = read_file(path).text.replace("[piece]", f'[piece]\npaper = "{paper}"')
    text = text.replace("[unit.s]", f'[unit."{name}"]').replace(
        'order = "s*2', f'order = "{name}*2'
    )
    text = text.replace('y s*2"', f'y {name}*2"')
    piece = Piece(read_draft(text))
    assert piece.computable
    return piece


def read(pdf, dpi):
    document = pypdfium2.PdfDocument(pdf)
    for page in document:
        image = page.render(scale=dpi / 72, grayscale=True).to_pil()
        yield from zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
        page.close()
    document.close()


@pytest.mark.parametrize(("paper", "dpi"), [("A4", 150), ("Letter", 200)])
def test_every_mark_is_read_and_says_what_its_label_says(paper, dpi):
    piece = sampler(paper)
    found = sorted(mark.text for mark in read(labels_pdf(piece), dpi))
    assert found == sorted(label.mark for label in labels_of(piece))
    assert len(set(found)) == len(found)


def test_a_mark_is_on_the_label_that_it_names():
    """PDFium finds the name of the thing printed on the same label of the sheet."""
    piece, stock = sampler(), STOCKS["A4"]
    document = pypdfium2.PdfDocument(labels_pdf(piece))
    page = document[0]
    words = page.get_textpage()
    image = page.render(scale=150 / 72, grayscale=True).to_pil()
    marks = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
    assert len(marks) == stock.on_a_sheet
    for mark in marks:
        corner = mark.position.top_left
        column, row = (int(v * 25.4 / 150 // step) for v, step in ((corner.x, 70), (corner.y, 37)))
        label = labels_of(piece)[row * stock.columns + column]
        assert mark.text == label.mark
        left, low = column * 70 / 25.4 * 72, page.get_height() - (row + 1) * 37 / 25.4 * 72
        said = words.get_text_bounded(left, low, left + 70 / 25.4 * 72, low + 37 / 25.4 * 72)
        assert {label.thing.upper(), label.name} <= set(said.split())
    words.close()
    page.close()
    document.close()


def test_a_name_in_any_script_is_read_again():
    piece = sampler(name="ö")
    assert any(mark.text.split()[3] == "ö1" for mark in read(labels_pdf(piece), 150))

"""Every page of every paper, for pieces of all shapes and hostile words: nothing is cut or overprinted.

Source: PDFium (Apache-2.0 or BSD-3) reads where each run of letters stands.
"""

from functools import lru_cache

import pypdfium2
import pytest

from crossfell.draft.reader import read_draft
from crossfell.papers.make import PARTS
from crossfell.piece import Piece

PT = 72 / 25.4
EDGE_MM = 3.0  # what no printer prints
BOOKS = ("client", "papers", "cards", "labels", "handover", "quote", "cards-large", "cartoon")
HEAD = """
[piece]
paper = "{paper}"
title = '{title}'
client = '{title}'
maker = '=maker #1'
[yarn.slate]
count = "lea 16/2"
fibre = "linen"
[strip.inch]
width = "1 in"
dents = 18
[unit.{unit}]
strip = "inch"
ends = "18 slate"
[warp]
pitch = "28 mm"
order = "{order}"
[band]
picks = "3, rod, 3"
rod = "steel 3"
"""
SPAN = (
    "[[span]]\nheight = \"{height} mm\"\nname = '{title}'\nnote = '{title}'\nmoves = \"{moves}\"\n"
)
HOSTILE = "#let a = 1; $x$ *b* _c_ <e> @f `g` Čaj שלום مد 水面 🧵 and on and on and on and on"
SHAPES = {
    "one": ("a", "*1", "One", [(120, "turn 1 right")], "A4"),
    "gaps": ("a", "*3 - - {}*2 - {}", HOSTILE, [(180, "1 over 2, 2 over 3, 1 over 2"),
                                                 (150, "shift 7 right 1 place")], "Letter"),
    "long": ("slatedark", "*6", "W" * 200, [(150, "plait 1-6")], "Letter"),
    "wide": ("水", "*40", "Wide", [(150, "plait 1-40"), (220, "1-8 over 9-16")], "A4"),
}  # fmt: skip


@lru_cache
def piece(shape):
    unit, order, title, spans, paper = SHAPES[shape]
    name = unit if unit.isascii() else f'"{unit}"'
    text = HEAD.format(paper=paper, title=title, unit=name, order=unit + order.format(unit, unit))
    said = title[:150]
    text += "".join(SPAN.format(height=h, moves=moves, title=said) for h, moves in spans)
    made = Piece(read_draft(text))
    assert made.computable, [note.message for note in made.notes]
    return made


def pages(shape, book):
    """Size of each page, and the boxes (left, low, right, top) of its runs of letters, in points."""
    content = next(c for name, _, c in PARTS[book](piece(shape)) if name.endswith(".pdf"))
    document = pypdfium2.PdfDocument(content() if callable(content) else content)
    for page in document:
        text = page.get_textpage()
        boxes = [text.get_rect(i) for i in range(text.count_rects())]
        said = [text.get_text_bounded(*box).strip() for box in boxes]
        yield page.get_size(), [(box, s) for box, s in zip(boxes, said, strict=True) if s]
        text.close()
        page.close()
    document.close()


def overprinted(boxes):
    """Pairs of runs that cover each other by a third of the smaller and more."""
    found = []
    boxes = sorted(boxes, key=lambda pair: pair[0][1])
    for i, (a, one) in enumerate(boxes):
        for b, two in boxes[i + 1 :]:
            if b[1] >= a[3]:
                break
            wide = min(a[2], b[2]) - max(a[0], b[0])
            high = min(a[3], b[3]) - max(a[1], b[1])
            least = min((box[2] - box[0]) * (box[3] - box[1]) for box in (a, b))
            if wide > 0 and high > 0 and wide * high > least / 3:
                found.append((one, two))
    return found


@pytest.mark.parametrize("book", BOOKS)
@pytest.mark.parametrize("shape", SHAPES)
def test_all_letters_stand_on_the_page_and_on_no_others(shape, book, monkeypatch):
    monkeypatch.setattr("crossfell.papers.client_sheet.DPI", 30.0)
    seen = 0
    for number, ((width, height), boxes) in enumerate(pages(shape, book), 1):
        if number > 12:
            break
        edge = EDGE_MM * PT if book != "cartoon" else 0.0
        for (left, low, right, top), said in boxes:
            assert left >= edge - 0.5, (number, said)
            assert right <= width - edge + 0.5, (number, said)
            assert low >= edge - 0.5, (number, said)
            assert top <= height - edge + 0.5, (number, said)
        if book != "cartoon":  # names of units that cross stand where they cross
            assert overprinted(boxes) == [], number
        seen += len(boxes)
    assert seen


def test_the_comparison_can_fail():
    word = ((0, 0, 10, 5), "a"), ((2, 1, 9, 4), "b")
    assert overprinted(word) == [("a", "b")]

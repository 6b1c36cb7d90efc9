"""Everything that is printed, read by others: pages, letters, contrast, titles, lists.

Sources: ISO 216 and ANSI/ASME Y14.1 (sizes of paper); pypdf (reads page boxes, fonts and the
colours that text is set in); PDFium (reads the text); WCAG 2.2, success criterion 1.4.3 (contrast of at least 4.5 : 1);
RFC 4180 and Python's csv (lists).
"""

import csv
from functools import lru_cache
from io import BytesIO, StringIO
from pathlib import Path

import pypdfium2
import pytest
from pypdf import PdfReader

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.materials.colour import contrast, hex_from_linear
from crossfell.papers.make import PARTS
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
BOOKS = ("papers", "cards", "labels", "client", "handover", "quote", "cards-large")
READ = tuple(name for name in BOOKS if name != "cards-large")  # its words are those of cards
MM = 25.4 / 72
HOSTILE = '#let a = 1; $x$ *b* _c_ "d" <e> @f `g` Čaj שלום مد 🧵'


@lru_cache
def piece(paper="A4", measure="mm", title="First Light"):
    text = read_file(next((EXAMPLES / "01-first-sampler").glob("*.toml"))).text
    said = title.replace("\\", "\\\\").replace('"', '\\"')
    text = text.replace('"First Light"', f'"{said}"\npaper = "{paper}"')
    if measure == "in":  # the same piece, its lengths written in inches
        text = text.replace('measure = "mm"', 'measure = "in"').replace(
            "pitch = 28", 'pitch = "28 mm"'
        )
        text = text.replace('"steel 3"', '"steel 3 mm"')
        for height in (120, 150):
            text = text.replace(f"height = {height}\n", f'height = "{height} mm"\n')
        text = text.replace("width = 400, height = 900", 'width = "400 mm", height = "900 mm"')
    made = Piece(read_draft(text))
    assert made.computable, [note.message for note in made.notes]
    return made


@lru_cache
def book(name, paper="A4", measure="mm", title="First Light"):
    files = PARTS[name](piece(paper, measure, title))
    content = next(content for file, _, content in files if file.endswith(".pdf"))
    return content() if callable(content) else content


def reader(*which):
    return PdfReader(BytesIO(book(*which)))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", BOOKS)
def test_pages_have_the_size_of_the_paper(name, paper):
    for page in reader(name, paper).pages:
        size = sorted((float(page.mediabox.width) * MM, float(page.mediabox.height) * MM))
        assert size == pytest.approx(sorted(PAPERS[paper]), abs=0.05)


@pytest.mark.parametrize("name", BOOKS)
def test_every_font_is_embedded_and_one_of_ours(name):
    for page in reader(name).pages:
        for font in page["/Resources"].get("/Font", {}).values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()
            assert any(ours in inner["/BaseFont"] for ours in ("AtkinsonHyperlegible", "NotoSans"))
            descriptor = inner["/FontDescriptor"]
            assert "/FontFile2" in descriptor or "/FontFile3" in descriptor


def text_colours(page):
    """Colours that the text of a page is painted in, #rrggbb."""
    fills, found = [(0.0,)], set()

    def look(operator, operands, _cm, _tm):
        if operator == b"q":
            fills.append(fills[-1])
        elif operator == b"Q" and len(fills) > 1:
            fills.pop()
        elif operator in {b"scn", b"sc", b"rg", b"g"}:
            pattern = any(isinstance(value, str) for value in operands)
            fills[-1] = () if pattern else tuple(float(value) for value in operands)
        elif operator in {b"Tj", b"TJ"}:
            found.add(fills[-1])

    page.extract_text(visitor_operand_before=look)
    assert () not in found, "text in a pattern"
    whole = (fill * 3 if len(fill) == 1 else fill for fill in found)
    return {"#" + "".join(f"{round(255 * part):02x}" for part in fill) for fill in whole}


@lru_cache
def words_of(*which):
    document = pypdfium2.PdfDocument(book(*which))
    out = []
    for page in document:
        text = page.get_textpage()
        out.append(text.get_text_bounded())
        text.close()
        page.close()
    document.close()
    return out


@pytest.mark.parametrize("name", [*BOOKS, "cartoon"])
def test_all_text_stands_out_from_its_paper(name):
    """On white; white letters stand on the ink of black labels and of strips that lie back.

    Words in pictures stand on walls and tags: tests/papers/test_looks.py, tests/drawings.
    """
    ink = "#1d1b18"
    colours = set().union(*(text_colours(page) for page in reader(name).pages[:7]))
    assert colours
    for colour in colours:
        ground = ink if colour == "#ffffff" else "#ffffff"
        assert contrast(colour, ground) >= 4.5, colour
        if colour == ink:  # bold names of what is new stand on grey
            assert contrast(colour, hex_from_linear((0.64, 0.64, 0.64))) >= 4.5


@pytest.mark.parametrize("name", [*READ, "cartoon", "booklet"])
def test_every_page_has_title_version_and_page_of_pages(name):
    pages = words_of(name)
    for number, text in enumerate(pages, 1):
        assert "First Light" in text
        assert f"{number} of {len(pages)}" in text
        assert "draft " in text


CHAPTERS = ["For the client", "At the bench", "At the loom", "On the wall", "Labels",
            "Cartoon at true size"]  # fmt: skip


def test_the_booklet_has_all_parts_in_its_outline_and_on_their_pages():
    """Read by pypdf: the side bar's entries lead to the pages that the list of contents says."""
    pdf = reader("booklet")
    tops = [entry for entry in pdf.outline if not isinstance(entry, list)]
    assert [top.title for top in tops] == CHAPTERS
    inner = {
        entry.title: pdf.get_destination_page_number(entry) + 1
        for group in pdf.outline
        if isinstance(group, list)
        for entry in group
        if not isinstance(entry, list)
    }
    pages = words_of("booklet")
    listed = "".join(pages[0].split())
    for title in ("Quotation", "Overview", "Winding and warping", "Setting the loom",
                  "Shopping and cutting", "Span 1", "Span 1, back", "How it will hang",
                  "Hanging it on the wall", "Record of the piece", "Condition report", "Invoice",
                  "Sheets of labels", "Map of the cartoon"):  # fmt: skip
        said = title.replace(" ", "") + str(inner[title])
        assert said in listed, title
    assert "Winding and warping" in pages[inner["Winding and warping"] - 1]
    assert "BACK" in pages[inner["Span 1, back"] - 1]
    assert "UNIT" in pages[inner["Sheets of labels"] - 1]
    assert "true size" in pages[inner["Map of the cartoon"] - 1]
    assert len(pages) > inner["Map of the cartoon"]


def test_the_same_draft_makes_the_same_booklet():
    assert PARTS["booklet"](piece())[0][2]() == book("booklet")


@pytest.mark.parametrize("name", ["cards", "quote"])
def test_a_hostile_title_prints_as_it_is(name):
    text = words_of(name, "A4", "mm", HOSTILE)[0]
    flat = " ".join(text.split())
    assert '#let a = 1; $x$ *b* _c_ "d" <e> @f `g` Čaj' in flat
    assert "spool of thread" in flat  # a glyph that no font has is said, not boxed
    assert "\ufffd" not in flat


def test_amounts_are_printed_with_their_thousands():
    """A narrow blank, which the letters do not have, is a blank and not a word."""
    text = read_file(next((EXAMPLES / "02-tideline").glob("*.toml"))).text
    made = Piece(read_draft(text.replace("[piece]", "[piece]\nagreed = 3119.97")))
    files = PARTS["quote"](made)
    document = pypdfium2.PdfDocument(files[0][2]())
    page = document[0].get_textpage()
    said = page.get_text_bounded().replace("\u00a0", " ")
    page.close()
    document.close()
    assert "no-break" not in said
    assert "3 119.97" in said


def test_inches_are_not_mixed_with_millimetres():
    for name in ("handover", "papers", "quote", "client", "cards", "cartoon"):
        for said in words_of(name, "Letter", "in"):
            assert " kg" not in said
            words = said.replace("steel 3 mm", "").replace("3 mm,", "").replace("(101.6 mm)", "")
            assert " mm" not in words, [line for line in words.splitlines() if " mm" in line]


def test_lists_read_as_tables_elsewhere():
    for name in ("papers", "labels", "handover", "quote"):
        for file, _, content in PARTS[name](piece()):
            if not file.endswith(".csv"):
                continue
            data = content() if callable(content) else content
            text = data.decode("utf-8-sig")
            assert text.count("\r\n") >= 2  # RFC 4180: lines end in CR LF
            rows = list(csv.DictReader(StringIO(text), strict=True))
            assert rows
            assert all(None not in row and None not in row.values() for row in rows), file

"""Pages have the standard's size and true-size drawings measure what they say.

Sources: ISO 216 (A4 210 x 297 mm), ANSI/ASME Y14.1 (Letter 8.5 x 11 in); PDF unit 1/72 in, ISO
32000-1, 8.3.2.3. Read by pypdf and rasterised by PDFium, both from outside this project.
"""

import io
import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pypdf
import pypdfium2
import pytest

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.papers.cartoon import MARGIN_MM, OVERLAP_MM, cartoon_pdf
from crossfell.papers.sheets import first_papers
from crossfell.papers.typeset import typeset
from crossfell.piece import Piece

ROOT = Path(__file__).resolve().parents[2]
SAMPLER = ROOT / "examples" / "01-first-sampler" / "first-sampler.toml"
MM = 72 / 25.4
SIZE = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
DPI = 200


@cache
def piece(paper="A4", measure="mm"):
    """The sampler on a paper, in a measure."""
    draft = read_file(SAMPLER)
    return Piece(replace(draft, about=replace(draft.about, paper=paper), measure=measure))


@cache
def cartoon(paper="A4", measure="mm"):
    return cartoon_pdf(piece(paper, measure))


@pytest.mark.parametrize("paper", SIZE)
def test_every_page_has_the_size_of_its_paper(paper):
    for pdf in (cartoon(paper), typeset(first_papers(piece(paper)), piece(paper).draft)):
        for page in pypdf.PdfReader(io.BytesIO(pdf)).pages:
            width, height = (float(x) / MM for x in (page.mediabox.width, page.mediabox.height))
            assert (width, height) == pytest.approx(SIZE[paper], abs=0.05)


def ink(pdf, page):
    """Dark pixels of a page, [rows, columns]."""
    picture = pypdfium2.PdfDocument(pdf)[page].render(scale=DPI / 72).to_numpy()
    return picture[:, :, :3].max(axis=2) < 128


@pytest.mark.parametrize(("measure", "length_mm"), [("mm", 100.0), ("in", 101.6)])
def test_the_ruler_on_a_sheet_is_as_long_as_it_says(measure, length_mm):
    """The longest dark line below the picture, in a raster of 200 dots to the inch: half a dot."""
    dark = ink(cartoon("A4", measure), 1)
    low = dark[int((297 - 30) / 25.4 * DPI) :]
    longest = max(len(run) for row in low for run in "".join(map(str, row.astype(int))).split("0"))
    assert longest / DPI * 25.4 == pytest.approx(length_mm, abs=2 * 25.4 / DPI)


STRAIGHT = """
[piece]
title = "Straight"
[yarn.grey]
count = "tex 200"
fibre = "linen"
[strip.wide]
width = 20
dents = 10
[unit.a]
strip = "wide"
ends = "10 grey"
[warp]
pitch = 50
order = "a*3"
[band]
picks = "3"
weft = "grey"
[[span]]
height = 200
"""


def test_units_on_the_cartoon_lie_where_they_will_lie():
    """Edges of three straight units, 20 mm wide and 50 mm apart, in millimetres on the paper."""
    straight = Piece(read_draft(STRAIGHT))
    dark = ink(cartoon_pdf(straight), 1)
    row = dark[int(100 / 25.4 * DPI)]
    columns = np.flatnonzero(row)
    lines = np.split(columns, np.flatnonzero(np.diff(columns) > 3) + 1)
    found = [float(line.mean()) / DPI * 25.4 for line in lines]
    left = MARGIN_MM + 6.0  # the rods end where the woven width does: units lie 15 mm inside
    edges = [left + 50 * unit + edge for unit in range(3) for edge in (15, 35)]
    assert found == pytest.approx(edges, abs=2 * 25.4 / DPI)


def test_the_sheets_cover_the_whole_piece():
    pages = len(pypdf.PdfReader(io.BytesIO(cartoon())).pages)
    words = pypdf.PdfReader(io.BytesIO(cartoon())).pages[0].extract_text()
    across, high = map(int, re.search(r"(\d+) across and (\d+) high", words).groups())
    paths, rod = piece().paths, piece().paths.rod_side_mm
    assert pages == 1 + across * high
    assert across * (190 - OVERLAP_MM) + OVERLAP_MM >= paths.width_total_mm + 2 * rod
    assert high * (264 - OVERLAP_MM) + OVERLAP_MM >= paths.height_total_mm


def test_all_letters_are_embedded():
    """Only the shipped fonts, each with its program inside the file (ISO 32000-1, 9.9)."""
    reader = pypdf.PdfReader(io.BytesIO(typeset(first_papers(piece()), piece().draft)))
    seen = 0
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():
            for part in font.get_object().get("/DescendantFonts", [font]):
                descriptor = part.get_object()["/FontDescriptor"].get_object()
                assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor)
                assert "Atkinson" in descriptor["/FontName"] or "Noto" in descriptor["/FontName"]
                seen += 1
    assert seen


HOSTILE = 'It\'s #1: $5 "half" *bold* _low_ \\ <b> éà שלום سلام @x'


def test_a_title_is_printed_as_it_is_and_never_as_markup():
    text = SAMPLER.read_text(encoding="utf-8")
    quoted = HOSTILE.replace("\\", "\\\\").replace('"', '\\"')
    changed = re.sub(r"^title\s*=.*$", lambda _: f'title = "{quoted}"', text, flags=re.MULTILINE)
    draft = read_draft(changed, file="hostile.toml")
    assert draft.about.title == HOSTILE
    strange = Piece(draft)
    pdf = pypdf.PdfReader(io.BytesIO(typeset(first_papers(strange), draft)))
    words = "".join(pdf.pages[0].extract_text().split())  # blanks between scripts differ
    for word in ("#1:", "$5", '"half"', "*bold*", "_low_", "<b>", "@x"):
        assert word in words


def test_same_draft_same_bytes():
    sheets = first_papers(piece())
    assert typeset(sheets, piece().draft) == typeset(sheets, piece().draft)
    assert cartoon() == cartoon_pdf(piece())

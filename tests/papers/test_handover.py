"""Sheets for the client, the wall and the piece's life: right numbers, nothing approved."""

import math
from functools import lru_cache
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.papers.client_sheet import client, price_text
from crossfell.papers.handover import for_the_client, handover, money_sheets
from crossfell.papers.hanging_points import points_of, top_rod_mm
from crossfell.papers.hanging_sheet import hanging
from crossfell.papers.install_sheet import (
    CORE_MM,
    LEAF_MM,
    installation,
    packing,
    people_text,
    roll_mm,
)
from crossfell.papers.measures import force_text, mass_text
from crossfell.papers.model import Blanks, Caution, Frames, Pairs, Paragraph, Table
from crossfell.papers.quote_sheet import calculation, invoice
from crossfell.papers.record_sheet import care, condition, record
from crossfell.papers.typeset import typeset
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"


@lru_cache
def example(name):
    return Piece(read_file(next((EXAMPLES / name).glob("*.toml"))))


@pytest.fixture(autouse=True)
def small_pictures(monkeypatch):
    """The picture is looked at elsewhere; here it is quick."""
    monkeypatch.setattr("crossfell.papers.client_sheet.DPI", 30.0)


def said(sheet):
    parts = [sheet.title]
    for block in sheet.blocks:
        if isinstance(block, Paragraph | Caution):
            parts.append(block.text)
        elif isinstance(block, Pairs):
            parts += [text for row in block.rows for text in row]
        elif isinstance(block, Table):
            parts += [cell for row in block.rows for cell in row]
        elif isinstance(block, Blanks):
            parts += block.labels
        elif isinstance(block, Frames):
            parts += block.captions
    return "\n".join(parts)


def test_the_roll_is_as_thick_as_the_turns_that_it_takes():
    """Derived: a spiral of turns t thick; laid out turn by turn, their lengths add up."""
    piece = example("02-tideline")
    turn = 6.0 + LEAF_MM
    left, across = piece.paths.height_total_mm, CORE_MM
    while left > 0:
        left -= math.pi * (across + turn)
        across += 2 * turn
    assert roll_mm(piece) == pytest.approx(across, abs=2 * turn)


def test_points_hang_above_the_top_rod_by_their_cords():
    piece = example("03-long-harvest")
    points = points_of(piece)
    assert [point.number for point in points] == [1, 2]
    assert points[0].aside_mm == pytest.approx(-points[1].aside_mm)
    for point in points:
        assert point.height_mm == pytest.approx(top_rod_mm(piece) + piece.draft.hang.cord_length_mm)
    assert sum(point.load_n for point in points) == pytest.approx(piece.hung.weight_n, rel=1e-6)
    reach = piece.draft.hang.above_floor_mm + piece.paths.height_total_mm
    assert reach - 12 < top_rod_mm(piece) < reach


def test_loads_are_said_with_their_assumptions_and_approve_nothing():
    piece = example("02-tideline")
    for sheet in (hanging(piece), installation(piece)):
        text = said(sheet)
        assert "approve nothing" in text
        assert "licensed" in text
        assert " safe" not in text.lower()
    assert "tug can double them" in said(hanging(piece))


def test_a_piece_that_swings_is_said_to_hang_otherwise():
    text = example("01-first-sampler").draft.text
    head = text[: text.index("[[span]]")]
    lean = head.replace('order = "s*2 y g*2 y s*2"', 'order = "s*2 y g*2 y s*2 -"')
    swinging = Piece(read_draft(lean + '[[span]]\nheight = 150\nmoves = "shift 1-8 right 1"\n'))
    assert swinging.computable
    assert "It moves by up to 28 mm." in said(hanging(swinging))
    assert "It hangs as drawn." in said(hanging(example("02-tideline")))


def test_the_client_reads_size_price_care_and_validity():
    piece = example("02-tideline")
    text = said(client(piece))
    for words in ("728 mm wide, 2227 mm high", "linen (slate, chalk)", "60 days", "50 lux"):
        assert words in text
    assert price_text(piece).startswith(piece.quote().amount(piece.quote().total.likely))


def test_without_a_price_there_is_none():
    text = example("02-tideline").draft.text.replace('price  = "46.00 per kg"\n', "")
    piece = Piece(read_draft(text))
    assert price_text(piece) == "on request"
    assert "on request" in said(money_sheets(piece)[0])
    assert "no price is known" in said(calculation(piece))


def test_an_invoice_adds_up_to_the_cent():
    piece = example("03-long-harvest")
    table = next(block for block in invoice(piece).blocks if isinstance(block, Table))
    amounts = {row[1].split(",")[0]: float(row[2].replace("\u202f", "")) for row in table.rows}
    assert round(amounts["Net"] + amounts["Tax"], 2) == amounts["Total"]
    assert round(amounts["Total"] + amounts["Deposit paid"], 2) == amounts["To pay"]
    assert round(100 * amounts["Total"]) == piece.quote().total.likely


def test_a_record_has_room_for_all_that_only_the_maker_knows():
    text = str(record(example("02-tideline")).blocks)
    for words in ("lot", "Hours worked", "Edition number", "Signature", "hung in its room"):
        assert words in text
    report = said(condition(example("02-tideline")))
    for words in ("upper third, left", "bands and adhesive", "Dispatch: date", "Return: date"):
        assert words in report
    assert "Agreed value" in said(care(example("02-tideline")))


def test_packing_says_what_must_not_be_bent():
    piece = example("02-tideline")
    text = said(packing(piece))
    assert "Do not bend the rods" in text
    assert "without tube and crate" in text
    assert people_text(piece).startswith("two")


@pytest.mark.parametrize(
    ("value", "measure", "text"),
    [(1012.3, "mm", "1.01 kg"), (15250, "cm", "15.2 kg"), (453.59237, "in", "1.0 lb")],
)
def test_masses_read_as_people_carry_them(value, measure, text):
    assert mass_text(value, measure) == text


def test_loads_read_in_newton_and_in_pounds():
    """Definition: 1 lb = 453.59237 g, g = 9.80665 m/s²; 1 lbf = 4.4482216 N."""
    assert force_text(9.80665, "mm") == "9.8 N (1.00 kg)"
    assert force_text(4.4482216, "in") == "1.00 lbf"


HOSTILE = '#sum $x^2$ \\\\ \\"quoted\\" *b* _c_ <tag> @ref `raw` = h'


def test_any_text_prints_as_it_is():
    text = example("01-first-sampler").draft.text.replace(
        'title      = "First Light"', f'title = "{HOSTILE}"\nclient = "{HOSTILE}"'
    )
    piece = Piece(read_draft(text))
    pdf = PdfReader(BytesIO(typeset((*money_sheets(piece), *handover(piece)), piece.draft)))
    words = " ".join(pdf.pages[0].extract_text().split())
    assert "#sum $x^2$" in words
    assert '"quoted" *b* _c_ <tag> @ref `raw` = h' in words


LONG = "A very long title of a piece, about the first light over the water on a day in March"


@pytest.mark.parametrize(
    ("paper", "title"),
    [
        ("A4", "Ebb"),
        ("Letter", LONG),
        ("A4", 3 * LONG),
        ("Letter", "W" * 200),
        ("A4", "水面 " * 4),
    ],
)
def test_the_client_has_one_page(paper, title):
    text = example("01-first-sampler").draft.text.replace(
        '"First Light"',
        f'"{title}"\npaper = "{paper}"\nclient = "C"\nmaker = "M"\nnumber = "2 of 3"',
    )
    piece = Piece(read_draft(text))
    assert len(PdfReader(BytesIO(typeset(for_the_client(piece), piece.draft))).pages) == 1

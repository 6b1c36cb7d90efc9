"""Lists are read as tables by others: Python's csv, and pandas as a spreadsheet's reader would.

Sources: RFC 4180; csv of Python (PSF-2.0); pandas (BSD-3).
"""

import csv
from functools import lru_cache
from io import BytesIO, StringIO
from pathlib import Path

import pandas as pd
import pytest

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.papers.handover import for_the_maker, handover, money_sheets
from crossfell.papers.labels import labels_csv
from crossfell.papers.lists import lists_of
from crossfell.papers.sheets import first_papers
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = sorted(path.name for path in EXAMPLES.iterdir() if path.is_dir())
NUMBERS = {  # what must come out as numbers, by list
    "winding": ["group", "place", "length of each end, m", "yarn, g", "weight, g"],
    "shopping": ["price, EUR"],
    "hanging-points": ["on the rod, from its left end, mm", "above the floor, mm", "load, N"],
    "hanging-rods": ["band", "drift, right +, mm", "tilt, left end down +, in 1000"],
    "quote": ["low", "likely, EUR", "high"],
    "steps": ["step"],
}


@lru_cache
def draft(name):
    return read_file(next((EXAMPLES / name).glob("*.toml")))


def lists(piece):
    sheets = (*first_papers(piece), *handover(piece), *money_sheets(piece), *for_the_maker(piece))
    return [*lists_of(sheets), ("labels", labels_csv(piece))]


@lru_cache
def lists_by(name):
    return dict(lists(Piece(draft(name))))


def framed(data):
    return pd.read_csv(BytesIO(data))


@pytest.mark.parametrize("name", NAMES)
def test_every_list_is_a_table_to_csv_and_to_pandas(name):
    for list_, data in lists_by(name).items():
        assert data.startswith(b"\xef\xbb\xbf"), list_  # the mark that spreadsheets look for
        text = data.decode("utf-8-sig")
        head, *rows = csv.reader(StringIO(text), strict=True)
        assert "\ufeff" not in text
        assert len(set(head)) == len(head), list_
        assert all(head), list_
        assert rows, list_
        assert all(len(row) == len(head) for row in rows), list_
        frame = framed(data)
        assert list(frame.columns) == head, list_
        assert len(frame) == len(rows), list_


@pytest.mark.parametrize("name", NAMES)
def test_amounts_are_numbers_with_their_unit_in_the_head(name):
    for list_, columns in NUMBERS.items():
        frame = framed(lists_by(name)[list_])
        for column in columns:
            assert pd.api.types.is_numeric_dtype(frame[column]), (list_, column)


def test_a_list_adds_up_to_what_was_computed():
    piece = Piece(draft("02-tideline"))
    winding = framed(lists_by("02-tideline")["winding"])
    assert len(winding) == len(piece.draft.units)
    assert winding["weight, g"].sum() == round(float(piece.loom.handed.mass_g.sum()))
    loads = framed(lists_by("02-tideline")["hanging-points"])["load, N"]
    assert loads.sum() == pytest.approx(float(piece.hung.cords_n.sum()), abs=0.1 * len(loads))


def test_inches_with_fractions_are_numbers_too():
    text = draft("01-first-sampler").text.replace('measure = "mm"', 'measure = "in"')
    for old, new in (("pitch = 28", 'pitch = "28 mm"'), ('"steel 3"', '"steel 3 mm"'),
                     ("height = 120\n", 'height = "120 mm"\n'), ("height = 150\n", 'height = "150 mm"\n'),
                     ("width = 400, height = 900", 'width = "400 mm", height = "900 mm"')):  # fmt: skip
        text = text.replace(old, new)
    made = dict(lists(Piece(read_draft(text))))
    points = framed(made["hanging-points"])
    assert points["above the floor, in"].tolist() == pytest.approx([1335 / 25.4] * 2, abs=1 / 16)
    assert points["load, lbf"].sum() > 0


HOSTILE = "=HYPERLINK(1)"


def test_names_and_titles_of_a_draft_are_never_formulas():
    """Every cell that could begin a formula is a plain number, or has an apostrophe before it."""
    text = draft("01-first-sampler").text
    text = text.replace('"First Light"', f'"{HOSTILE}"').replace("[unit.s]", '[unit."s"]')
    text = text.replace("[piece]", f'[piece]\nmaker = "@{HOSTILE}"\nclient = "+{HOSTILE}"')
    text = text.replace('fibre  = "linen"', 'fibre  = "=linen"')
    for list_, data in lists(Piece(read_draft(text))):
        rows = list(csv.reader(StringIO(data.decode("utf-8-sig"))))
        for cell in (cell for row in rows for cell in row):
            if cell[:1] in set("=+-@"):
                float(cell)  # fails on anything but a number
        assert rows, list_

"""Setting the loom: what is printed is what was reckoned, with its cautions and assumptions."""

from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.papers.loom_sheet import loom_sheet
from crossfell.papers.model import Caution, Table
from crossfell.papers.typeset import typeset
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def piece():
    return Piece(read_file(EXAMPLES / "02-tideline" / "tideline.toml"))


def words(sheet):
    return " ".join(str(block) for block in sheet.blocks)


def test_forces_and_weights_are_those_of_the_facts(piece):
    text = words(loom_sheet(piece))
    assert f"{piece.loom.shed.hand_n:.0f} to {piece.loom.shed_most.hand_n:.0f} N" in text
    assert "24 of 500 g" in text
    assert "0.25, default" in text


def test_every_trip_is_a_line_to_tick(piece):
    (table,) = (b for b in loom_sheet(piece).blocks if isinstance(b, Table) and b.name == "let-off")
    assert table.tick
    assert [row[0] for row in table.rows] == [str(t.span) for t in piece.loom.letoff.trips]


def test_springs_and_weights_have_their_cautions_and_the_limit_its_assumption(piece):
    sheet = loom_sheet(piece)
    assert sum(isinstance(block, Caution) for block in sheet.blocks) == 2
    assert "not measured" in words(sheet)


def test_it_can_be_typeset(piece):
    assert typeset((loom_sheet(piece),), piece.draft).startswith(b"%PDF")

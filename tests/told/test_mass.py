"""What the piece weighs is one number: facts, client, hanging, packing, record, wall and solver.

Source: definition of tex (ISO 1144); standard gravity. Checked here against a sum that is written
a second time, from the facts.
"""

import math

import pytest
from pieces_told import on_each_piece

from crossfell.facts.build import facts_of
from crossfell.papers.hanging_sheet import hanging
from crossfell.papers.install_sheet import installation, packing
from crossfell.papers.measures import mass_text
from crossfell.papers.model import Pairs, Paragraph
from crossfell.papers.record_sheet import record
from crossfell.papers.sheets import overview
from crossfell.paths.masses import CONTAINS
from crossfell.statics.wall import ASSUMED, wall_loads

GRAVITY = 9.80665


def pairs(sheet):
    return {
        name: said
        for block in sheet.blocks
        if isinstance(block, Pairs)
        for name, said in block.rows
    }


@on_each_piece
def test_the_solver_and_the_wall_carry_what_the_facts_say(piece):
    facts = facts_of(piece)
    mass = facts["piece"]["mass"]
    assert piece.masses.total_g == pytest.approx(mass, abs=1e-6)
    assert facts["hung"]["weight"] == pytest.approx(mass * GRAVITY / 1000, abs=1e-5)
    wall = wall_loads(piece.draft, piece.paths, piece.hung)
    assert wall.weight_n == pytest.approx(piece.masses.total_g * GRAVITY / 1000, rel=1e-9)
    yarns = facts["stock"]["yarn"]
    weft = sum(need["weft"] for need in yarns)
    spares = piece.draft.stock.spare_rods
    rods = sum(
        need["mass"] * (1 - spares * max(need["pieces"]) / sum(need["pieces"]))
        for need in facts["stock"]["rods"]
    )
    recipe = piece.draft.adhesive
    glue = facts["stock"]["adhesive"]["yarn"] * recipe.uptake * recipe.solids
    units = sum(unit["mass"] for unit in facts["units"])
    assert mass == pytest.approx(units + weft + rods + glue, abs=1e-4)
    assert math.isclose(
        facts["piece"]["mass_low"] + facts["piece"]["mass_high"], 2 * mass, abs_tol=1e-5
    )


@on_each_piece
def test_every_sheet_says_the_same_mass_and_what_is_in_it(piece):
    said = mass_text(piece.masses.total_g, piece.draft.measure)
    assert pairs(overview(piece))["Weight"] == said
    assert pairs(hanging(piece))["Weight"] == said
    assert pairs(record(piece))["Weight"] == said
    assert pairs(installation(piece))["Piece"].endswith(f", {said}")
    assert pairs(packing(piece))["Weight of the piece"].startswith(f"{said},")
    words = " ".join(block.text for block in hanging(piece).blocks if isinstance(block, Paragraph))
    assert f"{said}, from the draft: {CONTAINS}" in words
    assert any(CONTAINS in line for line in ASSUMED)

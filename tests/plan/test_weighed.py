"""What the finished piece weighs: its parts, no more; damp rooms make it heavier."""

import math

import pytest

from crossfell.draft.reader import read_draft
from crossfell.materials.yarn import mass_g
from crossfell.piece import Piece

TEXT = """
[yarn.s]
count = "tex 200"
fibre = "{fibre}"
[strip.n]
width = 20
dents = 12
[unit.a]
strip = "n"
ends = "12 s"
[warp]
pitch = 24
order = "a*4"
[band]
picks = "{picks}"
rod = "steel 4"
{band}
[stock]
spare_rods = {spare}
[[span]]
height = 500
[[span]]
height = 500
"""


def piece(fibre="linen", picks="3, rod, 3", band="", spare=0):
    text = TEXT.format(fibre=fibre, picks=picks, band=band, spare=spare)
    return Piece(read_draft(text))


def test_units_weigh_what_hangs_not_what_was_wound():
    whole = piece().masses
    hanging = 12 * mass_g(1000, 200)
    assert whole.units_g[0] == pytest.approx(hanging, rel=0.06)
    assert whole.units_g[0] > hanging


def test_spare_rods_do_not_hang():
    one, more = piece().masses, piece(spare=2).masses
    assert one.rods_g == pytest.approx(more.rods_g)
    assert one.rods_g.sum() == pytest.approx(3 * 122 * math.pi * 16 / 4 * 7850e-6)


def test_no_adhesive_no_mass_of_it():
    dry, brushed = piece(band="adhesive = false").masses, piece().masses
    assert not dry.adhesive_g.any()
    assert brushed.adhesive_g.min() > 0
    assert brushed.total_g == pytest.approx(dry.total_g + brushed.adhesive_g.sum())


def test_a_linen_hanging_changes_by_a_twentieth_of_its_yarn():
    """From memory: about 5 % of the fibre's mass between 30 and 80 % relative humidity."""
    whole = piece()
    yarn, damp = whole.masses.units_g.sum() + whole.masses.weft_g.sum(), whole.weighed
    assert (damp.high_g - damp.low_g) / yarn == pytest.approx(0.05, abs=0.002)
    dry = piece(fibre="polyester").weighed
    assert dry.damp_g < damp.damp_g / 10


def test_weft_runs_from_the_outermost_units_edge_to_the_other():
    """Four units of 20 mm at 24 mm: 92 mm of cloth, however many places are empty beside them."""
    made = piece()
    assert made.amounts.weft_mm[0] == pytest.approx(6 * 92 * 1.04)
    wider = Piece(read_draft(TEXT.replace('"a*4"', '"- - a*4 -"').format(
        fibre="linen", picks="3, rod, 3", band="", spare=0)))  # fmt: skip
    assert wider.amounts.weft_mm == pytest.approx(made.amounts.weft_mm)
    assert wider.masses.weft_x_mm[0] == pytest.approx(2 * 24 + 48)
    assert wider.masses.total_g == pytest.approx(made.masses.total_g)

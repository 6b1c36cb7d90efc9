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
    return Piece(read_draft(text)).weighed


def test_units_weigh_what_hangs_not_what_was_wound():
    whole = piece()
    hanging = 12 * mass_g(1000, 200)
    assert whole.units_g[0] == pytest.approx(hanging, rel=0.06)
    assert whole.units_g[0] > hanging


def test_spare_rods_do_not_hang():
    one, more = piece(), piece(spare=2)
    assert one.rods_g == pytest.approx(more.rods_g)
    assert one.rods_g == pytest.approx(3 * 122 * math.pi * 16 / 4 * 7850e-6)


def test_no_adhesive_no_mass_of_it():
    assert piece(band="adhesive = false").adhesive_g == 0
    assert piece().adhesive_g > 0
    assert piece().total_g == pytest.approx(
        piece(band="adhesive = false").total_g + piece().adhesive_g
    )


def test_a_linen_hanging_changes_by_a_twentieth_of_its_yarn():
    """From memory: about 5 % of the fibre's mass between 30 and 80 % relative humidity."""
    whole = piece()
    yarn = whole.units_g.sum() + whole.weft_g
    assert (whole.high_g - whole.low_g) / yarn == pytest.approx(0.05, abs=0.002)
    dry = piece(fibre="polyester")
    assert dry.damp_g < whole.damp_g / 10

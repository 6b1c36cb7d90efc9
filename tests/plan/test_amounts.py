"""What is wound, cut, brushed and bought."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.materials.bands import takeup_mm
from crossfell.materials.yarn import diameter_mm
from crossfell.piece import Piece

TEXT = """
[yarn.slate]
count = "tex 200"
fibre = "linen"
price = "40.00 per kg"
put_up = "100 g"
{slate}
[yarn.chalk]
count = "tex 300"
fibre = "linen"
price = "50.00 per kg"
[strip.n]
width = 20
dents = 12
[unit.a]
strip = "n"
ends = "9 slate, 3 chalk"
[warp]
pitch = 24
order = "a*{units}"
{warp}
[band]
picks = "3, rod, 3"
weft = "slate"
rod = "steel 3"
[adhesive]
price = 18
parts = 1
water = 2
[stock]
rod_price = ["steel 3: 4.20"]
heddle_price = 30
{stock}
[rates]
waste = "10 %"
[[span]]
height = 150
moves = "{moves}"
[[span]]
height = 100
"""


def piece(units=4, moves="1-2 over 3-4", slate="", warp="", stock=""):
    text = TEXT.format(units=units, moves=moves, slate=slate, warp=warp, stock=stock)
    made = Piece(read_draft(text))
    assert made.computable, [note.message for note in made.draft.notes]
    return made


def test_winding_is_the_path_and_everything_that_is_spent():
    made = piece(warp="sample = 200\nthrum = 500\nfinish = 50\nknots = 300\nspare = 10")
    wound = made.amounts.windings[0]
    takeup = 3 * takeup_mm(
        (3, "rod", 3), diameter_mm(300, "linen").value, diameter_mm(200, "linen").value, 3.0
    )
    assert wound.takeup_mm == pytest.approx(takeup)
    assert wound.path_mm >= made.paths.total_mm[0] - 1e-9
    net = wound.path_mm + takeup + 200 + 100 + 500 + 300
    assert wound.total_mm == pytest.approx(net * 1.10)


def test_masses_are_lengths_times_tex():
    wound = piece().amounts.windings[0]
    assert wound.by_yarn[0][:2] == ("slate", 9)
    assert wound.by_yarn[0][2] == pytest.approx(9 * wound.total_mm * 200e-6)
    assert wound.mass_g == pytest.approx(wound.total_mm * (9 * 200 + 3 * 300) * 1e-6)


def test_yarn_is_bought_in_whole_put_ups_beyond_what_is_in_stock():
    need = piece().amounts.yarns[0]
    assert need.need_g == pytest.approx((need.warp_g + need.weft_g) * 1.10)
    assert need.put_ups == math.ceil(need.need_g / 100)
    assert need.buy_g == 100 * need.put_ups
    assert need.price == pytest.approx(need.buy_g * 0.040)
    full = piece(slate="in_stock = 5000").amounts.yarns[0]
    assert (full.put_ups, full.buy_g, full.price) == (0, 0, 0)


def test_yarn_is_needed_for_what_is_wound_not_for_the_shortest():
    made = piece(moves="1 over 2-4")
    wound = sum(group.length_mm * len(group.units) for group in made.winding.groups)
    need = {n.yarn: n for n in made.amounts.yarns}
    assert need["chalk"].warp_g == pytest.approx(wound * 3 * 300e-6)
    assert wound > sum(w.total_mm for w in made.amounts.windings)


def test_adhesive_is_mixed_by_volume():
    glue = piece().amounts.adhesive
    assert glue.neat_cm3 * 2 == pytest.approx(glue.water_cm3)
    assert glue.neat_cm3 + glue.water_cm3 == pytest.approx(glue.liquid_cm3)
    assert glue.price == pytest.approx(18 * glue.neat_cm3 / 1000)


def test_rods_reach_from_the_outermost_units_and_their_overhang():
    (rod,) = piece(stock="overhang = 12").amounts.rods
    assert rod.pieces == pytest.approx((3 * 24 + 20 + 24,) * 3)
    assert rod.mass_g == pytest.approx(3 * 116 * math.pi * 9 / 4 * 7850e-6)


def test_a_missing_price_leaves_the_sum_open_and_says_which():
    made = piece(stock="").amounts
    assert made.price is not None
    text = TEXT.replace('price = "50.00 per kg"\n', "").format(
        units=4, moves="", slate="", warp="", stock=""
    )
    amounts = Piece(read_draft(text)).amounts
    assert amounts.price is None
    assert [n.facts["what"] for n in amounts.notes if n.code == "price-missing"] == ["yarn chalk"]


@given(st.integers(2, 12), st.sampled_from(["", "plait 1-2", "1 over 2", "turn 1 right"]))
@settings(max_examples=15, deadline=None)
def test_more_units_never_take_less(units, moves):
    less, more = piece(units, moves).amounts, piece(units + 1, moves).amounts
    for one, other in zip(less.yarns, more.yarns, strict=True):
        assert other.need_g > one.need_g
    assert more.adhesive.liquid_cm3 > less.adhesive.liquid_cm3
    assert more.rods[0].mass_g > less.rods[0].mass_g


def without_prices(*kept):
    """The draft with only those lines of prices."""
    lines = TEXT.format(units=4, moves="", slate="", warp="", stock="").splitlines()
    return "\n".join(row for row in lines if "price" not in row or row in kept)


def missing(text):
    (note,) = (n for n in Piece(read_draft(text)).amounts.notes if n.code == "price-missing")
    return note.facts["what"], text.splitlines()[note.where.line - 1]


def test_all_that_has_no_price_is_named_once_at_the_first_yarn_without():
    priced = 'price = "40.00 per kg"', 'price = "50.00 per kg"'
    everything = "yarn slate, yarn chalk, rod steel 3, heddle, adhesive"
    assert missing(without_prices()) == (everything, "[yarn.slate]")
    assert missing(without_prices(priced[0]))[1] == "[yarn.chalk]"
    rest = "rod steel 3, heddle, adhesive"
    assert missing(without_prices(*priced)) == (rest, "[stock]")
    two_strips = without_prices().replace(
        "[warp]", '[strip.m]\nwidth = 18\ndents = 12\n[unit.b]\nstrip = "m"\n'
        'ends = "12 slate"\n[warp]').replace("a*4", "a*2 b*2")  # fmt: skip
    assert missing(two_strips)[0] == everything


def test_what_is_there_already_costs_nothing_whatever_its_price():
    stock = 'rods = ["steel 3: 2000 * 4"]\nheddles = [400, 400]'
    for text in (without_prices(), TEXT.format(units=4, moves="", slate="", warp="", stock="")):
        amounts = Piece(read_draft(text.replace("[stock]", f"[stock]\n{stock}"))).amounts
        assert [need.price for need in (*amounts.rods, *amounts.strips)] == [0, 0]


def test_a_rod_of_no_known_material_is_told_at_the_band_that_has_it():
    text = TEXT.format(units=4, moves="", slate="", warp="", stock="")
    made = Piece(read_draft(text + 'band = { rod = "glass 3" }\n'))
    (note,) = (n for n in made.notes if n.code == "no-such-rod")
    assert note.where.line == len(text.splitlines()) + 1


def test_prices_of_rods_that_cannot_be_read_are_told_once():
    text = TEXT.replace('["steel 3: 4.20"]', '["steel 3: dear", "steel: 3"]')
    made = Piece(read_draft(text.format(units=4, moves="", slate="", warp="", stock="")))
    (note,) = (n for n in made.amounts.notes if n.code == "not-a-rod-price")
    assert note.facts["found"] == "steel 3: dear"
    assert made.amounts.rods[0].price is None

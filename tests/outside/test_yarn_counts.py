"""Yarn counts and worked yarn calculations against pint, ASTM D2260 and old textbooks.

Sources: ISO 1144 (tex), ASTM D2260 (conversion factors, as excerpts), Taylor and Brooks (worked
examples, as excerpts); pint 0.25 (group Textile, its own definitions).
"""

import math

import pint
import pytest

from crossfell.materials.counts import (
    CountProblem,
    YarnCount,
    count_of,
    folded,
    read_count,
    tex_of,
)

UNITS = pint.UnitRegistry()
YD, LB, OZ = 914.4, 453.59237, 28.349523125  # mm, g, g: international yard and pound, 1959


def pounds(ends_yards: float, count: float, hank: float = 840) -> float:
    """Mass (lb) of a length (yd) of an indirect count: hanks / count."""
    system = {840: "Ne", 560: "worsted", 300: "lea"}[hank]
    return ends_yards * YD * 1e-6 * tex_of(count, system) / LB


@pytest.mark.parametrize(
    ("ours", "theirs", "number"),
    [
        ("Ne", "number_english", 1.0),
        ("Ne", "number_english", 16.0),
        ("Nm", "number_meter", 9.7),
        ("den", "denier", 40.0),
        ("dtex", "dtex", 78.0),
        ("spyndle", "jute", 1.0),
        ("spyndle", "jute", 8.0),
        ("spyndle", "aberdeen", 3.0),
    ],
)
def test_counts_agree_with_pint(ours, theirs, number):
    """Every count system that pint knows means the same tex here."""
    quantity = (number * UNITS(theirs)).to("tex", "textile")
    assert tex_of(number, ours) == pytest.approx(quantity.magnitude, rel=1e-12)


@pytest.mark.parametrize(
    ("system", "factor", "printed"),
    [
        ("Ne", 590.541247, 590.54),  # ASTM D2260
        ("worsted", 885.811871, 885.812),
        ("lea", 1653.515493, 1653.52),
        ("run", 310.034155, 310.034),
        ("yd/lb", 496054.648, 496055),
    ],
)
def test_factors_are_those_of_the_standard(system, factor, printed):
    """tex = factor / count, to every digit that ASTM D2260 prints."""
    assert tex_of(1, system) == pytest.approx(factor, rel=2e-9)
    assert tex_of(1, system) == pytest.approx(printed, rel=1e-5)


def test_relations_of_the_standard():
    """ASTM D2260's relations between systems hold."""
    assert count_of(tex_of(10, "Ne"), "worsted") == pytest.approx(15, rel=1e-12)
    assert count_of(30, "Ne") == pytest.approx(19.7, abs=0.05)
    assert count_of(tex_of(7, "Ne"), "lea") == pytest.approx(2.8 * 7, rel=1e-12)
    assert count_of(tex_of(7, "Ne"), "run") == pytest.approx(0.525 * 7, rel=1e-12)
    assert count_of(tex_of(3, "Nm"), "lea") == pytest.approx(1.65352 * 3, rel=1e-5)
    assert count_of(tex_of(1, "Nm"), "yd/lb") == pytest.approx(496.055, rel=1e-6)
    assert count_of(tex_of(1, "Ne"), "den") == pytest.approx(5314.87, rel=1e-6)
    assert count_of(tex_of(6, "spyndle"), "lea") == pytest.approx(48 / 6, rel=1e-12)


@pytest.mark.parametrize(
    ("system", "factor", "direct"),
    [
        ("yorkshire", 1937.713468, False),
        ("dewsbury", 31003.4155, False),
        ("galashiels", 3720.41, False),
        ("hawick", 2686.96, False),
        ("west", 1550.17, False),
        ("french", 500.0, False),
        ("grains", 0.590541, True),
        ("dram", 1.937713, True),
        ("spyndle", 34.448239, True),
    ],
)
def test_trade_systems_by_their_definitions(system, factor, direct):
    """The trade's local systems have the tex that their hank and mass give."""
    assert tex_of(1, system) == pytest.approx(factor, rel=3e-6)
    assert tex_of(2, system) == pytest.approx(factor * (2 if direct else 0.5), rel=3e-6)


@pytest.mark.parametrize(
    ("label", "fibre", "tex"),
    [
        ("Ne 16/2", "cotton", 73.82),
        ("lea 16/2", "linen", 206.69),
        ("Nm 16/2", "linen", 125.00),
        ("Nm 2/16", "linen", 125.00),
        ("worsted 16/2", "wool", 110.73),
        ("2/40 worsted", "wool", 885.811871 / 20),
        ("40/2 spun silk", "silk", 590.541247 / 40),  # Taylor p. 239: the resultant is 40
        ("2/40 spun silk", "silk", 590.541247 / 20),
        ("R 69.3 tex / 2", "", 69.3),  # ISO 1139, fold-to-single
        ("34 tex S 600 x 2 Z 400", "", 68.0),  # ISO 1139, single-to-fold
    ],
)
def test_folded_yarns_read_as_the_trade_writes_them(label, fibre, tex):
    """Fold first, fold last and the spun-silk exception give the resultant."""
    read = read_count(label, fibre)
    assert isinstance(read, YarnCount)
    assert read.tex == pytest.approx(tex, rel=5e-5)


def test_an_ambiguous_label_is_asked_for():
    """No system, or a fold that could be either number, is a question, never a guess."""
    for label in ("16/2", "Ne 4/6"):
        assert isinstance(read_count(label, "linen"), CountProblem)


@pytest.mark.parametrize(
    ("singles", "resultant"),
    [((60, 40), 24), ((40, 20), 40 / 3), ((40, 80, 120), 21.818)],
)
def test_unequal_singles_twisted_together(singles, resultant):
    """Taylor and Brooks: 1/N is the sum of the 1/Ni (21.818 is printed as 21.81)."""
    assert folded(*singles) == pytest.approx(resultant, rel=2e-4)


@pytest.mark.parametrize(
    ("yards", "count", "lb", "printed"),
    [
        (2280 * 38, 30, 3.4381, 3 + 7 / 16),  # Brooks: 103 1/7 hanks, 3 lb 7 oz
        (37.5 * 64 * 36, 36, 2.857, 2 + 13.75 / 16),  # Brooks prints 2 lb 13 3/4 oz
        (2260 * 38, 30, 3.4079, 3.407),
        (2300 * 37.5, 36, 2.852, 2.85),
        (30 * 70 * 95, 30, 7.917, 7.917),  # data Taylor p. 245
        (30 * 80 * 90, 40, 6.429, 6.429),
        (9240, 44, 0.25, 0.25),  # Taylor
    ],
)
def test_worked_weights_of_warp_and_weft(yards, count, lb, printed):
    """The textbooks' weights of warps and wefts, to what they print."""
    assert pounds(yards, count) == pytest.approx(lb, rel=2e-4)
    assert pounds(yards, count) == pytest.approx(printed, rel=1.5e-3)


def test_a_whole_piece_with_size():
    """Brooks: warp and its size of a quarter, and weft, come to 7 lb 2 1/2 oz."""
    warp, weft = pounds(2280 * 38, 30), pounds(37.5 * 64 * 36, 36)
    assert warp * 1.25 + weft == pytest.approx(7 + 2.5 / 16, abs=0.02)


def test_counts_found_by_weighing():
    """Taylor, Brooks: 120 yd at 20 grains is 50's cotton; of 40's they weigh 25 grains."""
    assert count_of(tex_of(20, "grains"), "Ne") == pytest.approx(50, rel=1e-6)
    assert count_of(tex_of(40, "Ne"), "grains") == pytest.approx(25, rel=1e-6)


def test_one_yarn_in_four_systems():
    """Brooks: 20's cotton is 30's worsted, 56's linen and 16.93 French."""
    cotton = tex_of(20, "Ne")
    assert count_of(cotton, "worsted") == pytest.approx(30)
    assert count_of(cotton, "lea") == pytest.approx(56)
    assert count_of(cotton, "french") == pytest.approx(16.93, abs=0.005)


def test_hanks_in_a_weft():
    """Taylor: 34 in × 84 picks × 60 yd are 204 hanks of 840 yd."""
    assert 34 * 84 * 60 / 840 == pytest.approx(204)
    grams = 34 * 84 * 60 * YD * 1e-6 * tex_of(1, "Ne")
    assert grams / LB == pytest.approx(204, rel=1e-9)


def test_old_silk_denier():
    """Taylor: silk of 40 old deniers runs 6933 1/3 yd to the ounce."""
    yards = OZ / (tex_of(40, "old denier") * 1e-6) / YD
    assert yards == pytest.approx(6933 + 1 / 3, rel=1e-9)


def test_tenacity_units_through_pint():
    """1 gf per denier is 0.08826 N/tex, the unit of our fibre table."""
    assert (1 * UNITS("force_gram/denier")).to("newton/tex").magnitude == pytest.approx(
        0.08826, rel=1e-4
    )
    assert math.isclose(tex_of(1, "den"), 1 / 9)

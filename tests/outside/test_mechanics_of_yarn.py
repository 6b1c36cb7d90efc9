"""Diameters, crimp, rods, against Peirce, setting rules, handbook masses and a root finder.

Sources: Peirce, J. Text. Inst. 28 (1937) T45 (published values, secondary); Ashenhurst's setting
rule; Morton & Hearle, Tables 5.1, 13.1 and 13.2; densities of EN 1993-1-1 and makers' tables.
"""

import math

import pytest
from scipy.optimize import brentq

from crossfell.materials.bands import BEATEN, crimped, jammed_spacing, pick_spacing_mm, woven_band
from crossfell.materials.counts import tex_of
from crossfell.materials.tables import fibre_of, rod_material
from crossfell.materials.yarn import PEIRCE, breaking_n, diameter_mm, stiffness_n

INCH = 25.4


def test_peirce_diameter_of_cotton():
    """Peirce: d = 1/(28 √Ne) in, printed; 27.93 from the specific volume of 1.1 cm³/g."""
    for ne in (8, 16, 40):
        d = diameter_mm(tex_of(ne, "Ne")).value / INCH
        assert d == pytest.approx(1 / (27.93 * math.sqrt(ne)), rel=2e-4)
        assert d == pytest.approx(1 / (28 * math.sqrt(ne)), rel=3e-3)
    volume_mm3_per_mm = math.pi * PEIRCE**2 / 4  # of 1 tex: 1e-6 g/mm
    assert volume_mm3_per_mm / 1e-6 / 1000 == pytest.approx(1.1, rel=1e-5)


def test_diameter_of_cotton_by_its_density_is_peirces():
    """Density 1.52 and the packing that Peirce implies give Peirce's diameter."""
    by_density = diameter_mm(100, "cotton")
    assert by_density.value == pytest.approx(PEIRCE * 10, rel=2e-3)
    assert by_density.low <= by_density.value <= by_density.high


def test_wraps_of_a_firm_cotton_yarn():
    """Ashenhurst: 0.9 √(yd/lb) threads touch in an inch: 52 of 8/2 cotton (3360 yd/lb)."""
    d = diameter_mm(tex_of(8, "Ne") * 2, "cotton").value
    assert 0.9 * math.sqrt(3360) == pytest.approx(52, abs=0.5)
    assert INCH / d == pytest.approx(52, rel=0.09)  # Peirce's yarn is 7 % thinner than Ashenhurst's


@pytest.mark.parametrize(("ne", "in_an_inch"), [(60, 213), (32, 156), (15, 106.5)])
def test_old_table_of_cotton_diameters(ne, in_an_inch):
    """Taylor's table of cotton yarns agrees with the same form to the constant's 5 %."""
    assert INCH / diameter_mm(tex_of(ne, "Ne")).value == pytest.approx(in_an_inch, rel=0.05)


@pytest.mark.parametrize(
    ("p", "h", "crimp"),
    [
        (1.5, 0.5, 0.05848),
        (2.0, 0.5, 0.03212),
        (3.0, 0.5, 0.01405),
        (1.5, 1.0, 0.23184),
        (2.0, 1.0, 0.12782),
        (3.0, 1.0, 0.05609),
    ],
)
def test_crimp_of_peirces_geometry(p, h, crimp):
    """Crimp c = l/p − 1 of the rigid-thread model, and against a general root finder."""
    assert crimped(p, h, 1.0) / p - 1 == pytest.approx(crimp, abs=1e-5)

    def misses(theta):  # Peirce's two equations with l eliminated
        straight = (p - math.sin(theta)) / math.cos(theta)
        return straight * math.sin(theta) + 1 - math.cos(theta) - h

    theta = brentq(misses, 0, math.pi / 2 - 1e-9, xtol=1e-14)
    length = (p - math.sin(theta)) / math.cos(theta) + theta
    assert crimped(p, h, 1.0) == pytest.approx(length, rel=1e-10)


def test_jammed_square_cloth():
    """Published: θ 60°, l/D 1.0472, p/D 0.8660, crimp 0.2092."""
    assert jammed_spacing(0.5, 1) == pytest.approx(0.8660, abs=5e-5)
    assert crimped(0.5, 0.5, 1) == pytest.approx(1.0472, abs=5e-5)
    assert crimped(0.8660254, 0.5, 1) / 0.8660254 - 1 == pytest.approx(0.2092, abs=5e-5)


def test_open_cloth_against_the_approximation():
    """Peirce's h = (4/3) p √c: the exact crimp is 0.914, 0.900, … of it, and 8/9 when open."""
    ratios = []
    for p in (2, 3, 6, 12, 1000):
        c = crimped(p, 0.5, 1.0) / p - 1
        ratios.append(c / (9 / 16 * (0.5 / p) ** 2))
    assert ratios == sorted(ratios, reverse=True)
    assert ratios[0] == pytest.approx(0.03212 / 0.03516, abs=1e-3)
    assert ratios[1] == pytest.approx(0.01405 / 0.01562, abs=1e-3)
    assert ratios[-1] == pytest.approx(8 / 9, abs=1e-4)


def test_sett_of_plain_weave():
    """52 diameters to the inch of 8/2 cotton: 26 ends at most, published; worked at 75 %."""
    d = INCH / 52
    assert INCH / pick_spacing_mm(d, d) / BEATEN == pytest.approx(26)
    assert BEATEN == 0.75


@pytest.mark.parametrize(
    ("lea", "folds", "most", "worked"), [(16, 2, 9.2, 6.9), (8, 2, 6.5, 4.9), (16, 1, 13.1, 9.8)]
)
def test_picks_of_plain_linen(lea, folds, most, worked):
    """Derived from d = 0.0376 √tex: picks per cm at most, and at 75 %."""
    d = 0.0376 * math.sqrt(tex_of(lea, "lea") * folds)
    assert 10 / (2 * d) == pytest.approx(most, abs=0.06)
    assert 10 / pick_spacing_mm(d, d) == pytest.approx(worked, abs=0.06)


def test_take_up_of_a_band_is_millimetres():
    """Three picks, rod of 3 mm, three picks: the end bends round the rod by a millimetre or two."""
    plain = woven_band((6,), 0.55, 0.55, 3.0)
    rod = woven_band((3, "rod", 3), 0.55, 0.55, 3.0)
    assert 0 < plain.takeup_mm < 1
    assert plain.takeup_mm < rod.takeup_mm < 3
    assert math.fsum(rod.lengths_mm) >= math.fsum(rod.gaps_mm)


def length_by_peirce(p, h, d):
    """Peirce's two equations of a half wave, solved for its angle by scipy (published, 1937)."""

    def left_over(theta):
        straight = (p - d * math.sin(theta)) / math.cos(theta)
        return straight * math.sin(theta) + d * (1 - math.cos(theta)) - h

    theta = brentq(left_over, 0.0, 1.5)
    return (p - d * math.sin(theta)) / math.cos(theta) + d * theta


def test_an_end_among_picks_climbs_half_of_both_diameters():
    """Crimp shared evenly, h = D/2 (published, plain square cloth); picks D/0.75 apart."""
    warp, weft = 0.5, 0.7
    d = warp + weft
    band = woven_band((5,), warp, weft, 3.0)
    assert band.gaps_mm == pytest.approx([d / 0.75] * 4)
    assert band.height_mm == pytest.approx(5 * d / 0.75)
    assert band.lengths_mm == pytest.approx([length_by_peirce(d / 0.75, d / 2, d)] * 4)
    assert band.takeup_mm == pytest.approx(4 * (length_by_peirce(d / 0.75, d / 2, d) - d / 0.75))


def test_an_end_beside_a_rod_climbs_from_the_middle_of_a_pick_to_the_top_of_the_rod():
    """From pick to rod h = (rod + warp)/2 + (warp + weft)/4; from rod to rod, rod + warp."""
    warp, weft, rod = 0.5, 0.7, 2.0
    h, d = (rod + warp) / 2 + (warp + weft) / 4, (rod + weft) / 2 + warp
    up, down = woven_band((1, "rod", 1), warp, weft, rod).lengths_mm
    angle = math.acos(1 - h / d)  # jammed: no straight part
    assert d * math.sin(angle) > ((warp + weft) / 0.75 + rod) / 2
    assert (up, down) == pytest.approx((d * angle, d * angle))
    (between,) = woven_band(("rod", "rod"), warp, weft, rod).lengths_mm
    assert between == pytest.approx((rod + warp) * math.pi / 2)  # jammed: a quarter turn


@pytest.mark.parametrize(
    ("material", "grams"),
    [
        ("steel", {2: 24.66, 3: 55.49, 4: 98.65, 5: 154.13, 6: 221.95}),
        ("stainless", {2: 24.82, 3: 55.84, 4: 99.27, 5: 155.12, 6: 223.37}),
        ("brass", {2: 26.61, 3: 59.87, 4: 106.44, 5: 166.31, 6: 239.48}),
        ("aluminium", {2: 8.48, 3: 19.09, 4: 33.93, 5: 53.01, 6: 76.34}),
    ],
)
def test_masses_of_rods(material, grams):
    """Grams per metre of round rod as handbooks print them (7850, 7900, 8470, 2700 kg/m³)."""
    density = rod_material(material).density
    for diameter, mass in grams.items():
        assert math.pi * diameter**2 / 4 * density * 1e-3 == pytest.approx(mass, abs=0.006)


def test_fibres_of_morton_and_hearle():
    """Table values at 65 % rh; flax's modulus and density give 27.7 GPa."""
    flax, cotton, wool = (fibre_of(name) for name in ("flax", "cotton", "wool"))
    assert (flax.tenacity, flax.strain_at_break, flax.modulus) == (0.54, 0.030, 18.0)
    assert cotton.density == 1.52
    assert wool.density == 1.31
    assert flax.modulus * 1.54 == pytest.approx(27.7, abs=0.05)


def test_a_spun_linen_yarn_lies_in_the_planned_range():
    """Linen yarn 0.15–0.25 N/tex and 4–9 N/tex (from memory) lie within our range or touch it."""
    strength, stiffness = breaking_n(1000, "linen"), stiffness_n(1000, "linen")
    assert strength.low / 1000 < 0.25
    assert strength.high / 1000 > 0.15
    assert stiffness.low / 1000 < 9
    assert stiffness.high / 1000 > 4

"""Colour against published values and a reference library.

| what | source | licence | tolerance |
| --- | --- | --- | --- |
| sRGB | IEC 61966-2-1, worked values | standard | 5e-7, rounding of the quoted value |
| CIEDE2000 | Sharma, Wu and Dalal, Color Res. Appl. 30 (2005) 21-30 | 34 pairs from memory, each confirmed by the library | 5e-5, as printed |
| CIEDE2000, L*a*b* | colour-science 0.4.7 | BSD-3-Clause | 1e-4 (its white is rounded) |
| contrast | WCAG 2.2 | published | 5e-3, rounding of the quoted value |
"""

import math
import warnings

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.materials.colour import (
    contrast,
    cover,
    difference,
    differences,
    hex_from_linear,
    lab_from_hex,
    linear_from_hex,
    luminance,
    mixed,
)

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

BLUE, RED = (50, 0, -82.7485), (50, 2.5, 0)
SHARMA = [
    ((50, 2.6772, -79.7751), BLUE, 2.0425),
    ((50, 3.1571, -77.2803), BLUE, 2.8615),
    ((50, 2.8361, -74.0200), BLUE, 3.4412),
    ((50, -1.3802, -84.2814), BLUE, 1.0000),
    ((50, -1.1848, -84.8006), BLUE, 1.0000),
    ((50, -0.9009, -85.5211), BLUE, 1.0000),
    ((50, 0, 0), (50, -1, 2), 2.3669),
    ((50, -1, 2), (50, 0, 0), 2.3669),
    ((50, 2.4900, -0.0010), (50, -2.4900, 0.0009), 7.1792),
    ((50, 2.4900, -0.0010), (50, -2.4900, 0.0010), 7.1792),
    ((50, 2.4900, -0.0010), (50, -2.4900, 0.0011), 7.2195),
    ((50, 2.4900, -0.0010), (50, -2.4900, 0.0012), 7.2195),
    ((50, -0.0010, 2.4900), (50, 0.0009, -2.4900), 4.8045),
    ((50, -0.0010, 2.4900), (50, 0.0010, -2.4900), 4.8045),
    ((50, -0.0010, 2.4900), (50, 0.0011, -2.4900), 4.7461),
    (RED, (50, 0, -2.5), 4.3065),
    (RED, (73, 25, -18), 27.1492),
    (RED, (61, -5, 29), 22.8977),
    (RED, (56, -27, -3), 31.9030),
    (RED, (58, 24, 15), 19.4535),
    (RED, (50, 3.1736, 0.5854), 1.0000),
    (RED, (50, 3.2972, 0), 1.0000),
    (RED, (50, 1.8634, 0.5757), 1.0000),
    (RED, (50, 3.2592, 0.3350), 1.0000),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((63.0109, -31.0961, -5.8663), (62.8187, -29.7946, -4.0864), 1.2630),
    ((61.2901, 3.7196, -5.3901), (61.4292, 2.2480, -4.9620), 1.8731),
    ((35.0831, -44.1164, 3.7933), (35.0232, -40.0716, 1.5901), 1.8645),
    ((22.7233, 20.0904, -46.6940), (23.0331, 14.9730, -42.5619), 2.0373),
    ((36.4612, 47.8580, 18.3852), (36.2715, 50.5065, 21.2231), 1.4146),
    ((90.8027, -2.0831, 1.4410), (91.1528, -1.6435, 0.0447), 1.4441),
    ((90.9257, -0.5406, -0.9208), (88.6381, -0.8985, -0.7239), 1.5381),
    ((6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]  # fmt: skip
LAB = st.tuples(st.floats(0, 100), st.floats(-110, 110), st.floats(-110, 110))


@pytest.mark.parametrize(("one", "other", "want"), SHARMA)
def test_ciede2000_gives_the_published_pairs(one, other, want):
    assert difference(one, other) == pytest.approx(want, abs=5e-5)
    assert difference(other, one) == pytest.approx(want, abs=5e-5)
    library = float(colour.delta_E(one, other, method="CIE 2000"))
    assert library == pytest.approx(want, abs=5e-5)


def test_all_pairs_at_once_are_the_pairs_one_by_one():
    ones, others, want = (np.array(column) for column in zip(*SHARMA, strict=True))
    assert differences(ones, others) == pytest.approx(want, abs=5e-5)


@settings(max_examples=200, deadline=None)
@given(LAB, LAB)
def test_ciede2000_agrees_with_the_reference_library(one, other):
    # where the hues are exactly opposed the mean hue jumps; either side is right (Sharma, eq. 14)
    c = [math.hypot(p[1], p[2]) for p in (one, other)]
    cross = one[1] * other[2] - one[2] * other[1]
    if min(c) > 0 and abs(cross) < 1e-6 * max(1.0, c[0] * c[1]):
        return
    want = float(colour.delta_E(one, other, method="CIE 2000"))
    assert difference(one, other) == pytest.approx(want, abs=1e-4)


@settings(max_examples=50, deadline=None)
@given(st.integers(0, 0xFFFFFF))
def test_lab_agrees_with_the_reference_library(number):
    """Tolerance 0.05: the library's matrix and white are rounded to four digits, ours are not."""
    rgb = [((number >> shift) & 255) / 255 for shift in (16, 8, 0)]
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    want = colour.XYZ_to_Lab(colour.sRGB_to_XYZ(rgb), white)
    assert lab_from_hex(f"#{number:06x}") == pytest.approx(tuple(want), abs=0.05)


def test_a_blue_of_the_accessible_set():
    """#0072B2 under D65: 45.9733, -2.7328, -41.3625 (derived by hand from the sRGB primaries)."""
    assert lab_from_hex("#0072B2") == pytest.approx((45.9733, -2.7328, -41.3625), abs=0.01)


def test_srgb_worked_values():
    """IEC 61966-2-1: 128/255 is 0.215861; linear 0.5 is 187.516/255."""
    assert linear_from_hex("#808080")[0] == pytest.approx(0.215861, abs=5e-7)
    assert hex_from_linear((0.5, 0.5, 0.5)) == "#bcbcbc"


@given(st.integers(0, 0xFFFFFF))
def test_coding_and_decoding_is_the_identity(number):
    assert hex_from_linear(linear_from_hex(f"#{number:06x}")) == f"#{number:06x}"


def test_black_and_white_threads_mix_in_linear_light():
    """#bcbcbc, not #808080 (IEC 61966-2-1, from the definition)."""
    assert mixed([(1, "#000000"), (1, "#ffffff")]) == "#bcbcbc"
    assert mixed([(3, "#123456")]) == "#123456"


@pytest.mark.parametrize(
    ("ink", "want"), [("#767676", 4.542), ("#777777", 4.478), ("#595959", 7.005), ("#000000", 21)]
)
def test_contrast_on_white(ink, want):
    """WCAG 2.2: the greys on either side of 4.5, and black."""
    assert contrast(ink, "#ffffff") == pytest.approx(want, abs=5e-3)
    assert luminance("#ffffff") == pytest.approx(1)


def test_cover_is_the_share_that_the_ends_hide():
    assert cover([0.5] * 18, 25.4) == pytest.approx(9 / 25.4)
    assert cover([2.0] * 18, 25.4) == 1

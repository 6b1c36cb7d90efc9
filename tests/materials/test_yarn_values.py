"""Diameters, strengths, bands: measured wins, ranges hold their value, more is more."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.materials.bands import crimped, jammed_spacing, woven_band
from crossfell.materials.tables import fibre_of, fibres, rod_materials
from crossfell.materials.yarn import breaking_n, diameter_mm, mass_g, stiffness_n

TEX = st.floats(1, 5000)
FIBRES = st.sampled_from(["", "no such fibre", *sorted(fibres())])


@given(TEX, FIBRES)
@settings(max_examples=80)
def test_every_value_lies_in_its_range_and_says_how_it_came(tex, fibre):
    for value in (diameter_mm(tex, fibre), stiffness_n(tex, fibre), breaking_n(tex, fibre)):
        assert 0 < value.low <= value.value <= value.high
        assert value.how == ("computed" if fibre_of(fibre) else "default")
        assert value.source


@given(TEX, FIBRES, st.floats(0.05, 5))
@settings(max_examples=30)
def test_a_measured_value_wins(tex, fibre, measured):
    value = diameter_mm(tex, fibre, measured)
    assert (value.value, value.low, value.high, value.how) == (
        measured, measured, measured, "measured",
    )  # fmt: skip
    assert stiffness_n(tex, fibre, measured).value == pytest.approx(measured * tex)
    assert breaking_n(tex, fibre, measured).value == pytest.approx(measured * tex)


@given(TEX)
@settings(max_examples=20)
def test_four_times_as_coarse_is_twice_as_thick_and_four_times_as_heavy(tex):
    assert diameter_mm(4 * tex, "linen").value == pytest.approx(2 * diameter_mm(tex, "linen").value)
    assert mass_g(1000, 4 * tex) == pytest.approx(4 * mass_g(1000, tex))
    assert mass_g(1e6, tex) == pytest.approx(tex)  # tex is g per km


@given(st.floats(0.1, 20), st.floats(0.05, 2), st.floats(0.1, 5))
@settings(max_examples=80)
def test_a_crimped_thread_is_longer_than_the_straight_line(p, share, d):
    h = share * d
    spacing = max(p, jammed_spacing(h, d))
    length = crimped(p, h, d)
    assert length >= math.hypot(spacing, max(h - d, 0)) - 1e-9
    assert length >= spacing - 1e-12


@given(
    st.lists(st.sampled_from([1, 2, 3, 6, "rod"]), max_size=5),
    st.floats(0.1, 1.5),
    st.floats(0.1, 1.5),
    st.floats(1, 8),
)
@settings(max_examples=60)
def test_a_band_woven_backwards_is_as_high_and_takes_up_as_much(runs, warp, weft, rod):
    there, back = woven_band(runs, warp, weft, rod), woven_band(runs[::-1], warp, weft, rod)
    assert there.height_mm == pytest.approx(back.height_mm)
    assert there.takeup_mm == pytest.approx(back.takeup_mm)
    assert there.takeup_mm >= 0
    assert there.height_mm >= rod * runs.count("rod")


def test_a_band_of_nothing_is_nothing_and_threads_that_do_not_climb_lie_straight():
    nothing = woven_band((), 0.5, 0.5, 3.0)
    assert (nothing.height_mm, nothing.takeup_mm, nothing.gaps_mm) == (0, 0, ())
    assert crimped(2.0, 0.0, 1.0) == 2.0
    assert jammed_spacing(0.0, 1.0) == 0


def test_every_row_of_the_tables_names_its_source():
    told = {row.name: row.source for row in fibres().values()}
    for row in rod_materials().values():
        told |= {f"{row.name}, {of}": row.source[of] for of in ("density", "modulus", "strength")}
    for name, source in told.items():
        assert any(
            word in source for word in ("published", "definition", "derived", "from memory")
        ), name


def test_a_fibre_is_found_among_other_words():
    assert fibre_of("wet spun linen").name == "linen"
    assert fibre_of("unobtainium") is None

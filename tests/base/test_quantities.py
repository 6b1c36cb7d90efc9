"""Quantities mean what a weaver writes, and print as she reads them."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.base.quantities import (
    GREATEST,
    SPELLED,
    UNITS,
    NotAQuantity,
    read_quantity,
    written,
    written_long,
)


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("120", "length", 120.0),
        ("120 mm", "length", 120.0),
        ("12.5cm", "length", 125.0),
        ("2 m", "length", 2000.0),
        ("4 3/4 in", "length", 120.65),
        ("4-3/4 in", "length", 120.65),
        ("3/4 in", "length", 19.05),
        ("12/16 in", "length", 19.05),
        ("4¾ in", "length", 120.65),
        ("½ in", "length", 12.7),
        ('4 1/2"', "length", 114.3),
        ("4 1/2″", "length", 114.3),
        ("1 inch", "length", 25.4),
        ("3 feet", "length", 914.4),
        ("1'200 mm", "length", 1200.0),
        (".5 m", "length", 500.0),
        ("-3 mm", "length", -3.0),
        ("− 3 mm", "length", -3.0),
        ("250 g", "mass", 250.0),
        ("1/2 lb", "mass", 226.796185),
        ("3 N", "force", 3.0),
        ("2 kgf", "force", 19.6133),
        ("90 deg", "angle", math.pi / 2),
        ("90°", "angle", math.pi / 2),
        ("1 1/2 h", "minutes", 90.0),
        ("2 hours", "minutes", 120.0),
        ("5 %", "percent", 0.05),
        ("5", "percent", 0.05),
        ("2 ktex", "tex", 2000.0),
    ],
)
def test_a_quantity_is_read_with_its_unit(text, kind, value):
    assert read_quantity(text, kind) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("measure", "value"), [("mm", 3.0), ("cm", 30.0), ("m", 3000.0), ("in", 76.2)]
)
def test_a_bare_length_is_in_the_drafts_measure(measure, value):
    assert read_quantity("3", "length", measure) == pytest.approx(value)
    assert read_quantity("3 mm", "length", measure) == 3.0


@pytest.mark.parametrize(
    ("text", "kind", "why"),
    [
        ("", "length", "is no length: it begins with a number"),
        ("long", "length", "is no length: it begins with a number"),
        ("3 ihn", "length", "`ihn` is no unit of length; did you mean `in`?"),
        ("3 kg", "length", "`kg` is no unit of length; there are mm, cm"),
        ("3 mm", "mass", "`mm` is no unit of mass"),
        ("1/0 in", "length", "a fraction over nothing"),
        ("4,5 mm", "length", "decimals stand after a point"),
        ("1e308", "length", "no unit of length"),
        ("9" * 30, "length", "beyond any loom"),
        ("9" * 50, "length", "too long for a quantity"),
        ("10000001 mm", "length", f"the most is {GREATEST:.0f}"),
        ("nan", "length", "begins with a number"),
        ("1 2 3/4 in", "length", "no unit"),
        ("٣ mm", "length", "begins with a number"),
    ],
)
def test_what_is_no_quantity_is_said_in_a_sentence(text, kind, why):
    with pytest.raises(NotAQuantity, match=re.escape(why)):
        read_quantity(text, kind)


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=45), st.sampled_from(sorted(UNITS)))
def test_no_text_gives_anything_but_a_finite_number_or_a_sentence(text, kind):
    try:
        value = read_quantity(text, kind)
    except NotAQuantity as problem:
        assert str(problem)  # noqa: PT017
    else:
        assert abs(value) <= GREATEST


@settings(deadline=None)
@given(st.integers(0, 200_000))
def test_a_length_reads_back_within_what_was_printed(tenths):
    mm = tenths / 10
    assert read_quantity(written(mm), "length") == pytest.approx(mm, abs=0.5)
    assert read_quantity(written(mm, "cm"), "length") == pytest.approx(mm, abs=0.5)
    assert read_quantity(written(mm, "in"), "length") == pytest.approx(mm, abs=25.4 / 32)


@pytest.mark.parametrize(
    ("mm", "measure", "text"),
    [
        (120.65, "in", "4 3/4 in"),
        (19.05, "in", "3/4 in"),
        (25.4, "in", "1 in"),
        (0.1, "in", "0 in"),
        (-19.05, "in", "-3/4 in"),
        (-0.1, "in", "0 in"),
        (120.65, "mm", "121 mm"),
        (9.96, "mm", "10.0 mm"),
        (1.25, "mm", "1.2 mm"),
        (-0.01, "mm", "0.0 mm"),
        (120.65, "cm", "12.1 cm"),
    ],
)
def test_lengths_are_written_for_the_bench(mm, measure, text):
    assert written(mm, measure) == text


def test_long_lengths_are_written_in_metres_or_yards():
    assert written_long(9144.0) == "9.14 m"
    assert written_long(9144.0, "in") == "10.00 yd"


def test_every_spelt_out_unit_is_one():
    known = {unit for units in UNITS.values() for unit in units}
    assert set(SPELLED.values()) <= known
    assert not set(SPELLED) & known

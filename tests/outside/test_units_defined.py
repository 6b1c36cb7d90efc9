"""Our units are those of the published definitions, as an independent library has them.

Source: International yard and pound agreement (1959) and SI definitions, as printed in NIST SP 811
appendix B and carried by pint (BSD-3), which shares no code with us.
"""

from __future__ import annotations

import pint
import pytest

from crossfell.base.quantities import UNITS, read_quantity

INSIDE = {
    "length": "mm", "mass": "g", "force": "N", "angle": "rad", "minutes": "min", "percent": "",
    "tex": "g/km",
}  # fmt: skip
THEIRS = {
    '"': "inch", "in": "inch", "ft": "foot", "yd": "yard", "lb": "pound", "oz": "ounce",
    "gf": "gram_force", "kgf": "kilogram_force", "deg": "degree", "°": "degree",
    "degrees": "degree", "d": "day", "days": "day", "%": "percent", "tex": "g/km",
    "dtex": "g/(10 km)", "ktex": "kg/km",
}  # fmt: skip
REGISTRY = pint.UnitRegistry()
ALL = [(kind, unit) for kind, units in UNITS.items() for unit in units]


@pytest.mark.parametrize(("kind", "unit"), ALL)
def test_a_unit_is_what_it_is_defined_to_be(kind, unit):
    theirs = REGISTRY.Quantity(f"1 {THEIRS.get(unit, unit)}")
    expected = theirs.to(INSIDE[kind] or "dimensionless")
    assert read_quantity(f"1 {unit}", kind) == pytest.approx(float(expected.magnitude), rel=1e-12)

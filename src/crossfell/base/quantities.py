"""How long, how heavy, how strong: what does a quantity with its unit mean?

Inside we use mm, g, N, rad, minutes; text may use any unit below, inches with fractions too.
Source of the factors: international yard and pound agreement 1959 (definition): 1 in = 25.4 mm,
1 lb = 453.59237 g; 1 kgf = 9.80665 N (definition).
"""

from __future__ import annotations

import math
import re
import unicodedata
from fractions import Fraction

from crossfell.base.nearest import nearest

LENGTHS = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, '"': 25.4, "ft": 304.8, "yd": 914.4}
MASSES = {"mg": 0.001, "g": 1.0, "kg": 1000.0, "oz": 28.349523125, "lb": 453.59237}
FORCES = {"N": 1.0, "cN": 0.01, "mN": 0.001, "kN": 1000.0, "gf": 0.00980665, "kgf": 9.80665,
          "ozf": 0.2780138509537812, "lbf": 4.4482216152605}  # fmt: skip
ANGLES = {"deg": math.pi / 180, "°": math.pi / 180, "degrees": math.pi / 180, "rad": 1.0}
MINUTES = {"min": 1.0, "h": 60.0, "s": 1 / 60, "d": 1440.0, "days": 1440.0}
SHARES = {"%": 0.01, "percent": 0.01}
DENSITIES = {"tex": 1.0, "dtex": 0.1, "ktex": 1000.0}
UNITS = {
    "length": LENGTHS,
    "mass": MASSES,
    "force": FORCES,
    "angle": ANGLES,
    "minutes": MINUTES,
    "percent": SHARES,
    "tex": DENSITIES,
}
BARE = {
    "mass": "g", "force": "N", "angle": "deg", "minutes": "min", "percent": "%", "tex": "tex",
}  # fmt: skip
SPELLED = {
    "inch": "in", "inches": "in", "foot": "ft", "feet": "ft", "yard": "yd", "yards": "yd",
    "metre": "m", "metres": "m", "meter": "m", "meters": "m", "gram": "g", "grams": "g",
    "kilo": "kg", "ounce": "oz", "ounces": "oz", "lbs": "lb", "pound": "lb", "pounds": "lb",
    "degree": "deg", "minutes": "min", "hour": "h", "hours": "h", "day": "d", "″": '"', "”": '"',
}  # fmt: skip
GREATEST = 1e7  # of any quantity, in inside units: ten kilometres, ten tonnes

_NUMBER = re.compile(
    r"(?P<sign>[-+−]?)\s*"
    r"(?:(?P<whole>\d[\d\u202f']*(?:\.\d+)?|\.\d+)(?![\d\u202f'.]*\s*/)(?:[\s-]+(?=\d+\s*/))?)?"
    r"(?:(?P<top>\d+)\s*/\s*(?P<bottom>\d+))?\s*(?P<unit>.*)",
    re.ASCII,
)
_PRINTED = re.compile("[¼-¾⅐-⅞]")  # fractions as one letter: ½


class NotAQuantity(ValueError):  # noqa: N818 -- it is what the text is
    """The text is not a quantity of this kind; the sentence says what is wrong."""


def read_quantity(text: str, kind: str, measure: str = "mm") -> float:
    """Read `4 3/4 in` or `120` as a number in inside units (mm, g, N, rad, minutes, share).

    A bare number of length is in `measure`. Errors: NotAQuantity with a sentence for the maker.
    """
    units = UNITS[kind]
    plain = text.strip()
    if len(plain) > 40:
        raise NotAQuantity("this is too long for a quantity")
    found = _NUMBER.fullmatch(_PRINTED.sub(_spelt, plain))
    if found is None or (found["whole"] is None and found["top"] is None):
        raise NotAQuantity(f"`{plain}` is no {kind}: it begins with a number")
    value = Fraction(0)
    if found["whole"]:
        value += Fraction(found["whole"].replace("\u202f", "").replace("'", ""))
    if found["top"]:
        if int(found["bottom"]) == 0:
            raise NotAQuantity("a fraction over nothing")
        value += Fraction(int(found["top"]), int(found["bottom"]))
    if found["unit"].startswith(","):
        raise NotAQuantity(f"`{plain}`: decimals stand after a point, as 4.5")
    unit = found["unit"].strip() or (measure if kind == "length" else BARE[kind])
    unit = SPELLED.get(unit, unit)
    if unit not in units:
        raise NotAQuantity(_no_unit(unit, kind))
    amount = float(value) * units[unit] * (-1 if found["sign"] in {"-", "−"} else 1)
    return in_reach(amount)


def _no_unit(unit: str, kind: str) -> str:
    """What is wrong with a unit, and what would be right."""
    near = nearest(unit, UNITS[kind])
    guess = f"did you mean `{near}`? " if near else ""
    of = "time" if kind == "minutes" else kind
    return f"`{unit}` is no unit of {of}; {guess}there are {', '.join(UNITS[kind])}"


def _spelt(letter: re.Match[str]) -> str:
    part = Fraction(unicodedata.numeric(letter.group())).limit_denominator(10)
    return f" {part.numerator}/{part.denominator}"


def in_reach(value: float) -> float:
    """Refuse what is not a number or beyond any loom. Errors: NotAQuantity."""
    if abs(value) > GREATEST and value not in {math.inf, -math.inf}:
        raise NotAQuantity(f"this is beyond any loom: the most is {GREATEST:.0f}")
    if not math.isfinite(value):
        raise NotAQuantity("this is not a number")
    return float(value)


def written(value_mm: float, measure: str = "mm") -> str:
    """Write a length for the bench: whole mm, cm with one decimal, or inches in sixteenths."""
    if measure == "in":
        return _inches(value_mm)
    if measure == "cm":
        return f"{_whole(value_mm / 10, 1):.1f} cm"
    digits = 0 if abs(value_mm) >= 10 else 1
    return f"{_whole(value_mm, digits):.{digits}f} mm"


def written_long(value_mm: float, measure: str = "mm") -> str:
    """Write a length of yarn or of a whole piece: metres, or yards."""
    if measure == "in":
        return f"{value_mm / 914.4:.2f} yd"
    return f"{value_mm / 1000:.2f} m"


def _whole(value: float, digits: int) -> float:
    return round(value, digits) + 0.0  # never "-0"


def _inches(value_mm: float) -> str:
    sixteenths = round(abs(value_mm) / 25.4 * 16)
    whole, rest = divmod(sixteenths, 16)
    part = Fraction(rest, 16)
    sign = "-" if value_mm < 0 and sixteenths else ""
    if not rest:
        return f"{sign}{whole} in"
    lead = f"{whole} " if whole else ""
    return f"{sign}{lead}{part.numerator}/{part.denominator} in"

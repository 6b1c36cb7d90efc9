"""What does a kilogramme of a yarn cost that is sold by the cone, the pound or the metre?"""

from __future__ import annotations

import re
from typing import NamedTuple

from crossfell.base.quantities import LENGTHS, MASSES, SPELLED, NotAQuantity

PUT_UPS = ("cone", "skein", "hank", "ball", "pack")
_PRICE = re.compile(
    r"(?P<amount>\d+(?:\.\d+)?)\s*(?:(?:per|/)\s*(?P<many>\d+(?:\.\d+)?)?\s*(?P<of>\w+))?"
)


class YarnPrice(NamedTuple):
    """A price that hangs on the yarn: for a length (mm), or for what it is put up in (0 mm)."""

    amount: float
    length_mm: float

    def per_kg(self, tex: float, put_up_g: float | None) -> float:
        """The same for a kilogramme. Errors: NotAQuantity where the put-up is not known."""
        grams = self.length_mm * tex * 1e-6 if self.length_mm else put_up_g
        if not grams:
            raise NotAQuantity("a price by what it is put up in needs `put_up`, its mass")
        return self.amount * 1000 / grams


def yarn_price_of(text: str) -> float | YarnPrice:
    """Read `46.00 per kg`, `9.50 per 100 g`, `12 per lb`, `0.04 per m`, `11.50 per cone`.

    A price for a mass is for a kilogramme then, as a bare one is. Errors: NotAQuantity.
    """
    found = _PRICE.fullmatch(text.strip())
    if found is None:
        raise NotAQuantity("a price is written as 46.00 per kg")
    amount, many = float(found["amount"]), float(found["many"] or 1)
    unit = SPELLED.get(found["of"] or "kg", found["of"] or "kg")
    if not many:
        raise NotAQuantity("a price for nothing")
    if unit in MASSES:
        return amount * 1000 / (many * MASSES[unit])
    if unit in LENGTHS:
        return YarnPrice(amount, many * LENGTHS[unit])
    if unit in PUT_UPS and many == 1:
        return YarnPrice(amount, 0.0)
    raise NotAQuantity(
        f"`per {unit}`: a yarn is priced per kg, g, lb, oz, m, yd, or per {', '.join(PUT_UPS)}"
    )

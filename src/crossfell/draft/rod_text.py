"""What is a rod, as it is written: `steel 3`, `steel 1/8 in`?"""

from __future__ import annotations

import re

from crossfell.base.quantities import NotAQuantity, read_quantity
from crossfell.draft.model import Rod

_ROD = re.compile(r"(\D+?)\s+(\d.*)")  # material, which may be of several words, and diameter


def rod_of(raw: object) -> Rod:
    """A rod as it is written: "steel 3", "steel 1/8 in"; a bare diameter is always in mm.

    Rods are sold by the millimetre, whatever the draft measures in. Errors: NotAQuantity.
    """
    found = _ROD.fullmatch(raw.strip()) if isinstance(raw, str) else None
    if not found:
        raise NotAQuantity('a rod is written as "steel 3": its material and its diameter in mm')
    material, diameter = found.groups()
    value = read_quantity(diameter, "length", "mm")
    if not 0 < value <= 100:
        raise NotAQuantity("a rod is thicker than nothing and thinner than 100 mm")
    return Rod(material=" ".join(material.lower().split()), diameter_mm=value)

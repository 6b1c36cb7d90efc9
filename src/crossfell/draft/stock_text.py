"""What does `yarn slate 320 g` or `rod steel 3: 740 mm * 2` say?"""

from __future__ import annotations

import re

from crossfell.base.quantities import NotAQuantity, read_quantity
from crossfell.draft.rod_text import rod_of
from crossfell.draft.stock_items import Reserved, StockItem

SAYS = "write `yarn slate 320 g`, `rod steel 3: 740 mm * 2` or `heddle 300 mm * 1`"
_YARN = re.compile(r"yarn\s+(?P<name>[\w'-]+)\s+(?P<mass>[\d.].*)")
_ROD = re.compile(r"rod\s+(?P<name>[^:]+):\s*(?P<length>[^*]+?)\s*(?:\*\s*(?P<count>\d{1,6}))?")
_HEDDLE = re.compile(r"heddle\s+(?P<length>[^*]+?)\s*(?:\*\s*(?P<count>\d{1,6}))?")


def item_of(text: str, measure: str = "mm") -> StockItem:
    """Read a thing of the stock. Errors: NotAQuantity."""
    plain = text.strip()
    if found := _YARN.fullmatch(plain):
        mass = read_quantity(found["mass"], "mass")
        if mass < 0:
            raise NotAQuantity("this cannot be less than nothing")
        return StockItem("yarn", found["name"], mass)
    found = _ROD.fullmatch(plain) or _HEDDLE.fullmatch(plain)
    if not found:
        raise NotAQuantity(f"`{plain}` is nothing of the stock: {SAYS}")
    kind = plain.split()[0]
    name = rod_of(found["name"]).label if kind == "rod" else ""
    length = read_quantity(found["length"], "length", measure)
    if length <= 0:
        raise NotAQuantity("a piece in stock has a length")
    return StockItem(kind, name, length, int(found["count"] or 1))


def reserved_of(raw: object, measure: str) -> tuple[Reserved, ...]:
    """Read the list of what is reserved. Errors: NotAQuantity."""
    if not isinstance(raw, list):
        raise NotAQuantity('this should be a list: ["tideline: yarn slate 320 g"]')
    rows = []
    for row in raw:
        piece, colon, item = row.partition(": ") if isinstance(row, str) else ("", "", "")
        if not colon:
            raise NotAQuantity(f'"tideline: yarn slate 320 g": a piece, then what; {SAYS}')
        rows.append(Reserved(piece.strip(), item_of(item, measure)))
    return tuple(rows)

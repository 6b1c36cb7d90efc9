"""What is one thing of the stock, as it is written: `yarn slate 320 g`, `rod steel 3: 740 mm * 2`?

The same few words stand in `reserved` of [stock] and on the command line.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import PurePath
from typing import NamedTuple


class StockItem(NamedTuple):
    """A mass of a yarn (g), or some pieces of a rod or heddle of a length (mm)."""

    kind: str  # "yarn", "rod", "heddle"
    name: str  # of the yarn, label of the rod; "" for a heddle
    size: float
    times: int = 1

    def text(self) -> str:
        """As it is written."""
        if self.kind == "yarn":
            return f"yarn {self.name} {self.size:.10g} g"
        name = f" {self.name}:" if self.name else ""
        return f"{self.kind}{name} {self.size:.10g} mm * {self.times}"


class Reserved(NamedTuple):
    """A thing that is kept for a piece, known by the name of its file."""

    piece: str
    item: StockItem

    def text(self) -> str:
        """As it is written in `reserved`."""
        return f"{self.piece}: {self.item.text()}"


def name_of(file: str) -> str:
    """How a piece is called in the stock: its file without folder and ending."""
    return PurePath(file).stem


def for_others(rows: Iterable[Reserved], piece: str) -> tuple[StockItem, ...]:
    """What is kept for other pieces than this one."""
    return tuple(row.item for row in rows if row.piece != piece)

"""How is a slice told to a screen that paints it itself, and paints only what changed?

What is laid again and again is a stencil: its shapes as SVG path data, and the box round them (mm
about its own origin). Stencils are numbered as they are first laid and keep their numbers, so one
that a screen has is never told again. A sheet is what one slice lays: runs of (clip, [stencil, x,
y, stencil, x, y, …]), back to front, mm from the slice's corner; a clip is path data, or "".
"""

from __future__ import annotations

from itertools import islice
from typing import Any

from crossfell.drawings.cloth import Cloth
from crossfell.drawings.scene import DrawnPath, Symbol
from crossfell.drawings.slices import slice_cloth
from crossfell.drawings.svg import path_data
from crossfell.piece import Piece

Told = dict[str, Any]
Sheet = list[tuple[str, list[float]]]


class Stencils:
    """The stencils of one ground (see `slices.ground_of`), and the sheets laid with them."""

    def __init__(self) -> None:
        self.told: list[Told] = []
        self._cloth: Cloth | None = None
        self._sheets: dict[str, Sheet] = {}

    def __len__(self) -> int:
        return len(self.told)

    def sheet(self, piece: Piece, view: str, style: str, number: int, key: str) -> Sheet:
        """What a slice lays; worked out once for each key. The piece has this ground."""
        found = self._sheets.get(key)
        if found is None:
            cloth = slice_cloth(piece, view, style, number, self._cloth)
            self._cloth = cloth
            new = islice(cloth.symbols.values(), len(self.told), None)
            self.told += [_stencil(symbol, cloth) for symbol in new]
            found = _sheet(cloth)
            self._sheets[key] = found
        return found

    def forget(self, most: int) -> None:
        """Keep only the sheets that were laid last."""
        for key in list(self._sheets)[: max(0, len(self._sheets) - most)]:
            del self._sheets[key]


def _sheet(cloth: Cloth) -> Sheet:
    clips = {name: path_data(commands) for name, commands in cloth.clips} | {"": ""}
    numbers = {symbol.name: number for number, symbol in enumerate(cloth.symbols.values())}
    runs: Sheet = []
    for lay in (*cloth.shadows, *cloth.open, *cloth.woven):
        if not runs or runs[-1][0] != clips[lay.clip]:
            runs.append((clips[lay.clip], []))
        runs[-1][1].extend((numbers[lay.symbol], round(lay.x, 2), round(lay.y, 2)))
    return runs


def _stencil(symbol: Symbol, cloth: Cloth) -> Told:
    shapes = [_shape(shape, cloth) for shape in symbol.items]
    return {"box": [round(v, 2) for v in symbol.box()] if shapes else [0, 0, 0, 0],
            "shapes": shapes}  # fmt: skip


def _shape(shape: DrawnPath, cloth: Cloth) -> Told:
    told: Told = {"d": path_data(shape.commands)}
    if shape.detail != "always":
        told["detail"] = shape.detail
    if shape.stroke:
        told |= {"stroke": shape.stroke, "wide": round(shape.stroke_mm, 3)}
    if shape.round_ends:
        told["round"] = True
    if shape.opacity < 1:
        told["opacity"] = round(shape.opacity, 2)
    return told | _fill(shape.fill, cloth) if shape.fill else told


def _fill(fill: str, cloth: Cloth) -> Told:
    name = fill.removeprefix("url(#").removesuffix(")")
    if name == fill:
        return {"fill": fill}
    if name in cloth.fades:
        fade = cloth.fades[name]
        return {"fade": [*fade.start, *fade.end], "stops": [list(stop) for stop in fade.stops]}
    hatch = next(hatch for hatch in cloth.look.hatches if hatch.name == name)
    return {"tile": hatch.size_mm, "hatch": [_shape(shape, cloth) for shape in hatch.items]}

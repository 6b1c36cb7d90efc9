"""How does the whole open and woven cloth come into a picture: shadows, ribbons, bands, rods?"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from crossfell.drawings.bands import (
    Weave,
    cloth_symbol,
    floats_symbol,
    picks_symbol,
    rod_symbol,
    weave_of,
)
from crossfell.drawings.look import Look, Run, kind_runs
from crossfell.drawings.ribbons import fade_of, ribbon_symbol, shadow_symbol
from crossfell.drawings.scene import Command, Fade, Layer, Symbol, Use
from crossfell.drawings.stacking import Stack, levels_of, stack_of
from crossfell.drawings.threads import Ribbon, outline
from crossfell.drawings.views import View
from crossfell.paths.stage import weft_name
from crossfell.piece import Piece

# kind, sideways, height, sign, half turns, over, under
RibbonKey = tuple[str, float, float, int, int, bool, bool]
SHADOW_SHARE = 0.3  # distance of the wall's shadow, as a share of the pitch


@dataclass
class Cloth:
    """Collects the layers and symbols of one picture; x, y is where the piece's corner lies."""

    piece: Piece
    view: View
    look: Look
    x: float
    y: float
    shadows: list[Use] = field(default_factory=list)
    open: list[Use] = field(default_factory=list)
    woven: list[Use] = field(default_factory=list)
    ribbons: dict[RibbonKey, Ribbon] = field(default_factory=dict)
    symbols: dict[object, Symbol] = field(default_factory=dict)
    fades: dict[str, Fade] = field(default_factory=dict)
    clips: list[tuple[str, tuple[Command, ...]]] = field(default_factory=list)

    def layers(self) -> tuple[Layer, ...]:
        """Shadows on the wall, open ribbons, woven bands: back to front."""
        return (
            Layer("shadows", tuple(self.shadows)),
            Layer("open", tuple(self.open)),
            Layer("woven", tuple(self.woven)),
        )

    def add_span(self, index: int) -> None:
        """Lay the ribbons of a span."""
        paths, span = self.piece.paths, self.piece.order.spans[index]
        view, units = self.view, len(self.piece.draft.units)
        upper, lower = view.frame.above(index), view.frame.below(index)
        edges = (paths.band_top_mm[index], paths.band_bottom_mm[index + 1])
        top, low = sorted(view.y(float(edge)) for edge in edges)
        over, under = levels_of(span, units, back=view.frame.deep < 0)
        ribbons, at = [], []
        starts, ends = paths.x_mm[upper].tolist(), paths.x_mm[lower].tolist()
        faces, turns = self.piece.order.face[upper].tolist(), span.half_turns.tolist()
        height = round(low - top, 3)
        for unit in range(units):
            x0, x1 = view.x(starts[unit]), view.x(ends[unit])
            at.append(self.x + x0)
            kind = self.piece.draft.units[unit].kind
            key = (
                kind,
                round(x1 - x0, 3),
                height,
                view.frame.ends(faces[unit]),
                view.frame.turn(turns[unit]),
            )
            ribbons.append(self._ribbon((*key, over[unit], under[unit])))
        rank = np.argsort(np.argsort(paths.x_mm[index], kind="stable")).tolist()
        stack = stack_of(span, units, back=view.frame.deep < 0, rank=rank)
        self._lay(stack, ribbons, at, self.y + top)

    def _ribbon(self, key: RibbonKey) -> Ribbon:
        found = self.ribbons.get(key)
        if found is None:
            kind, dx, height, sign, half_turns, over, under = key
            runs = self._runs(kind)
            found = Ribbon(
                runs=runs,
                width=runs[-1].end - runs[0].start,
                dx=dx,
                height=height,
                sign=sign,
                half_turns=half_turns,
                over=over,
                under=under,
            )
            self.ribbons[key] = found
        return found

    def _lay(self, stack: Stack, ribbons: list[Ribbon], at: list[float], y: float) -> None:
        for unit in stack.units:
            ribbon = ribbons[unit]
            if self.look.style == "full":
                name = self._symbol("s", ribbon)
                self.shadows.append(Use(name, at[unit], y))
            self.open.append(Use(self._symbol("r", ribbon), at[unit], y))
        for a, b in stack.mend:
            half = ribbons[b].width / 2
            clip = f"c{len(self.clips)}"
            self.clips.append((clip, outline(ribbons[b], -half, half, at[b], y)))
            self.open.append(Use(self._symbol("r", ribbons[a]), at[a], y, clip))

    def add_band(self, index: int) -> None:
        """Weave a band: picks across, cloth of each unit, rod, floats over it, light."""
        draft, paths, view = self.piece.draft, self.piece.paths, self.view
        band = draft.bands[index]
        edges = (paths.band_top_mm[index], paths.band_bottom_mm[index])
        top, low = sorted(view.y(float(edge)) for edge in edges)
        rod = (band.rod.material, band.rod.diameter_mm) if band.rod else ("steel", 0.0)
        weave = weave_of(
            band.runs, round(low - top, 3), weft_name(draft, band), rod, flip=view.frame.up < 0
        )
        row = np.argsort(paths.x_mm[index], kind="stable")  # who lies there gives no order
        at = [self.x + view.x(x) for x in paths.x_mm[index, row].tolist()]
        if not at:
            return
        half = (paths.width_mm[row] / 2).tolist()
        left = min(x - w for x, w in zip(at, half, strict=True))
        right = max(x + w for x, w in zip(at, half, strict=True))
        y = self.y + top
        self._picks(weave, left, right, y)
        signs = [view.frame.ends(face) for face in self.piece.order.face[index, row].tolist()]
        kinds = [draft.units[unit].kind for unit in row.tolist()]
        pairs = list(zip(kinds, signs, strict=True))
        for part in "bd":
            names = {pair: self._weave(part, weave, *pair) for pair in dict.fromkeys(pairs)}
            self.woven += [Use(names[pair], x, y) for pair, x in zip(pairs, at, strict=True)]
            if part == "b":
                self._rods(weave, index, y)

    def _picks(self, weave: Weave, left: float, right: float, y: float) -> None:
        length = round(right - left, 2)
        key = ("picks", weave, length)
        if key not in self.symbols:
            name = f"n{len(self.symbols)}"
            self.symbols[key] = picks_symbol(weave, length, self.look, name)
        if self.symbols[key].items:
            self.woven.append(Use(self.symbols[key].name, left, y))

    def _rods(self, weave: Weave, index: int, y: float) -> None:
        if weave.rod_mm <= 0:
            return
        ends = self.piece.paths.rod_ends_mm[index].tolist()
        left, right = sorted(self.x + self.view.x(end) for end in ends)
        length = round(right - left, 2)
        key = ("rod", weave.material, weave.rod_mm, length)
        if key not in self.symbols:
            symbol, fade = rod_symbol(weave, length, self.look, f"n{len(self.symbols)}")
            self.symbols[key] = symbol
            if fade:
                self.fades[fade.name] = fade
        for top, low, is_rod in weave.rows:
            if is_rod:
                self.woven.append(Use(self.symbols[key].name, left, y + (top + low) / 2))

    def _weave(self, part: str, weave: Weave, kind: str, sign: int) -> str:
        key = (part, weave, kind, sign)
        if key not in self.symbols:
            make = cloth_symbol if part == "b" else floats_symbol
            runs, name = self._runs(kind), f"n{len(self.symbols)}"
            self.symbols[key] = make(weave, runs, sign, self.look, name)
        return self.symbols[key].name

    def _symbol(self, part: str, ribbon: Ribbon) -> str:
        key = (part, id(ribbon))  # each kind of ribbon is made once and kept
        found = self.symbols.get(key)
        if found is None:
            name = f"n{len(self.symbols)}"
            if part == "s":
                found = shadow_symbol(ribbon, name, SHADOW_SHARE * self.piece.draft.pitch_mm)
            else:
                found = ribbon_symbol(ribbon, self.look, name)
                if self.look.style == "full":
                    fade = fade_of(ribbon)
                    self.fades[fade.name] = fade
            self.symbols[key] = found
        return found.name

    def _runs(self, kind: str) -> tuple[Run, ...]:
        draft = self.piece.draft
        return kind_runs(draft, draft.kinds[kind])


def cloth_of(piece: Piece, view: View, look: Look, x: float, y: float) -> Cloth:
    """The whole piece, its upper left corner at x, y."""
    cloth = Cloth(piece, view, look, x, y)
    for index in range(len(piece.draft.spans)):
        cloth.add_span(index)
    for index in range(len(piece.draft.bands)):
        cloth.add_band(index)
    return cloth

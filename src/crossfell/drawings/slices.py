"""How is a long picture shown in pieces, so that only what changed is drawn again?

A slice is a band and the span below it, as they lie in the picture, from above; the last slice is
a band alone. Slices are laid one over another from above to below, each at its place, on the wall:
a shadow that falls out of a slice falls behind the next. A slice has a key: two slices with the
same key are the same picture, so a key can name it for as long as anyone keeps it.
"""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import blake2s

from crossfell.drawings.cloth import SHADOW_SHARE, Cloth
from crossfell.drawings.look import Look, look_of
from crossfell.drawings.scene import Scene
from crossfell.drawings.views import View, view_of
from crossfell.paths.stage import weft_name
from crossfell.piece import Piece

ABOVE_MM = 3.0  # room for what stands out of a band: ends, the light on a rod


@dataclass(frozen=True, slots=True)
class Slice:
    """Where a slice lies: mm, x to the right and y down from the piece's upper left corner."""

    number: int  # from above, from 0
    band: int  # index of its band, in weaving order
    span: int | None  # index of the span below it; None for the last
    left: float
    top: float
    width: float
    height: float
    key: str


def slices_of(piece: Piece, view_name: str, style: str = "full") -> tuple[Slice, ...]:
    """Slices of a view in a style, from above to below. The piece must be computable."""
    view = view_of(piece, view_name)
    ground = _ground(piece, view, style)
    return tuple(_slice(piece, view, ground, number) for number in range(len(piece.draft.bands)))


def slice_scene(piece: Piece, view_name: str, style: str, number: int) -> Scene:
    """The picture of one slice. Errors: IndexError when there is no such slice."""
    view, look = view_of(piece, view_name), look_of(piece.draft, style)
    place = _slice(piece, view, "", number)
    cloth = Cloth(piece, view, look, -place.left, -place.top)
    if place.span is not None:
        cloth.add_span(place.span)
    cloth.add_band(place.band)
    return Scene(
        width_mm=place.width,
        height_mm=place.height,
        title=piece.draft.about.title,
        says=f"{piece.draft.about.title}, {view.says}",
        layers=cloth.layers(),
        symbols=tuple(cloth.symbols.values()),
        fades=tuple(cloth.fades.values()) if style == "full" else (),
        hatches=look.hatches,
        clips=tuple(cloth.clips),
        at={"x": -place.left, "y": -place.top},
    )


def side_mm(piece: Piece) -> float:
    """Room at each side of the piece: what a rod stands out, and a shadow's reach."""
    return piece.draft.stock.overhang_mm + _reach(piece)


def end_pitch_mm(piece: Piece) -> float:
    """The least distance between neighbouring ends (mm), to choose how fine to draw."""
    draft = piece.draft
    each = [draft.strips[k.strip].width_mm / max(1, k.end_count) for k in draft.kinds.values()]
    return min(each, default=1.0)


def _reach(piece: Piece) -> float:
    return 1.4 * SHADOW_SHARE * piece.draft.pitch_mm + 2.0


def _slice(piece: Piece, view: View, ground: str, number: int) -> Slice:
    bands, paths = len(piece.draft.bands), piece.paths
    if not 0 <= number < bands:
        raise IndexError(number)
    band = number if view.flip_y else bands - 1 - number
    span = None if number == bands - 1 else band if view.flip_y else band - 1
    top = min(view.y(float(paths.band_top_mm[band])), view.y(float(paths.band_bottom_mm[band])))
    low = max(view.y(float(paths.band_top_mm[band])), view.y(float(paths.band_bottom_mm[band])))
    if span is not None:
        below = span + 1 if view.flip_y else span
        edges = (paths.band_top_mm[below], paths.band_bottom_mm[below])
        low = min(view.y(float(edge)) for edge in edges)
    side = side_mm(piece)
    return Slice(
        number=number,
        band=band,
        span=span,
        left=-side,
        top=top - ABOVE_MM,
        width=view.width + 2 * side,
        height=low - top + ABOVE_MM + _reach(piece),
        key=_key(piece, ground, band, span) if ground else "",
    )


def _ground(piece: Piece, view: View, style: str) -> str:
    """All that every slice of a view depends on."""
    draft = piece.draft
    look: Look = look_of(draft, style)
    kinds = [(k.name, k.ends, draft.strips[k.strip].width_mm) for k in draft.kinds.values()]
    units = [unit.kind for unit in draft.units]
    seen = (view.name, view.flip_x, view.flip_y, view.width)
    yarns = (dict(look.colours), dict(look.fills), dict(look.marks))
    room = (draft.pitch_mm, draft.stock.overhang_mm)
    return repr((style, seen, yarns, kinds, units, room, draft.about.title))


def _key(piece: Piece, ground: str, band: int, span: int | None) -> str:
    paths, order, woven = piece.paths, piece.order, piece.draft.bands[band]
    made = blake2s(ground.encode(), digest_size=10)
    height = round(float(paths.band_top_mm[band] - paths.band_bottom_mm[band]), 3)
    made.update(repr((woven.runs, weft_name(piece.draft, woven), woven.rod, height)).encode())
    made.update(paths.x_mm[band].tobytes() + order.face[band].tobytes())
    if span is not None:
        crossing, other = order.spans[span], span + 1 if band == span else span
        open_mm = round(float(paths.band_bottom_mm[span + 1] - paths.band_top_mm[span]), 3)
        made.update(repr((open_mm, crossing.layers, band == span)).encode())
        made.update(paths.x_mm[other].tobytes() + order.face[other].tobytes())
        for part in (crossing.over, crossing.under, crossing.half_turns):
            made.update(part.tobytes())
    return made.hexdigest()

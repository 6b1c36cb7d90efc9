"""How is a long picture shown in pieces, so that only what changed is drawn again?

A slice is a band and the span below it, as they lie in the picture, from above; the last slice is
a band alone. Slices are laid one over another from above to below, each at its place, on the wall:
a shadow that falls out of a slice falls behind the next. A slice has a key: two slices with the
same key are the same picture, whichever of the units that look alike lie in it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from hashlib import blake2b

import numpy as np

from crossfell.drawings.cloth import SHADOW_SHARE, Cloth
from crossfell.drawings.look import look_of
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
    ground = ground_of(piece, view_name, style).encode()
    bands, spans = _looks(piece)
    found = []
    for number in range(len(bands)):
        part = _slice(piece, view, number)
        made = blake2b(ground, digest_size=10)
        made.update(bands[part.band])
        if part.span is not None:
            made.update(spans[part.span])
        found.append(replace(part, key=made.hexdigest()))
    return tuple(found)


def slice_cloth(
    piece: Piece, view_name: str, style: str, number: int, drawn: Cloth | None = None
) -> Cloth:
    """The cloth of one slice, x and y from its corner; `drawn` has symbols of the same ground.

    Errors: IndexError when there is no such slice.
    """
    view = view_of(piece, view_name)
    part = _slice(piece, view, number)
    cloth = Cloth(piece, view, look_of(piece.draft, style), -part.left, -part.top)
    if drawn is not None:
        cloth.ribbons, cloth.symbols, cloth.fades = drawn.ribbons, drawn.symbols, drawn.fades
    if part.span is not None:
        cloth.add_span(part.span)
    cloth.add_band(part.band)
    return cloth


def ground_of(piece: Piece, view_name: str, style: str) -> str:
    """All that every slice of a view depends on."""
    draft, view = piece.draft, view_of(piece, view_name)
    look = look_of(draft, style)
    kinds = [(k.name, k.ends, draft.strips[k.strip].width_mm) for k in draft.kinds.values()]
    seen = (view.name, view.frame, view.width)
    yarns = (dict(look.colours), dict(look.fills), dict(look.marks))
    room = (draft.pitch_mm, piece.paths.rod_side_mm)
    return repr((style, seen, yarns, kinds, room))


def side_mm(piece: Piece) -> float:
    """Room at each side of the piece: what a rod stands out, and a shadow's reach."""
    return piece.paths.rod_side_mm + _reach(piece)


def end_pitch_mm(piece: Piece) -> float:
    """The least distance between neighbouring ends (mm), to choose how fine to draw."""
    draft = piece.draft
    each = [draft.strips[k.strip].width_mm / max(1, k.end_count) for k in draft.kinds.values()]
    return min(each, default=1.0)


def _reach(piece: Piece) -> float:
    return 1.4 * SHADOW_SHARE * piece.draft.pitch_mm + 2.0


def _slice(piece: Piece, view: View, number: int) -> Slice:
    bands, paths = len(piece.draft.bands), piece.paths
    if not 0 <= number < bands:
        raise IndexError(number)
    band = range(bands)[view.frame.downwards][number]
    span = None if number == bands - 1 else range(bands - 1)[view.frame.downwards][number]
    ys = (view.y(float(paths.band_top_mm[band])), view.y(float(paths.band_bottom_mm[band])))
    top, low = min(ys), max(ys)
    if span is not None:
        below = view.frame.below(span)
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
        key="",
    )


def _looks(piece: Piece) -> tuple[list[bytes], list[bytes]]:
    """For each band, and for each span, all that its picture depends on, from the left."""
    draft, paths, order = piece.draft, piece.paths, piece.order
    kinds = np.unique([unit.kind for unit in draft.units], return_inverse=True)[1].astype("i2")
    rows = np.argsort(paths.x_mm, axis=1, kind="stable")
    x, faces = np.round(1000 * paths.x_mm).astype("i4"), order.face.astype("i1")
    high = np.round(paths.band_top_mm - paths.band_bottom_mm, 3).tolist()
    gaps = np.round(paths.band_bottom_mm[1:] - paths.band_top_mm[:-1], 3).tolist()
    ends = np.round(paths.rod_ends_mm, 3).tolist()
    woven, open_ = [], []
    for index, band in enumerate(draft.bands):
        row = rows[index]
        about = repr(
            (band.runs, weft_name(draft, band), band.rod, ends[index], high[index])
        ).encode()
        woven.append(about + b"".join(a[row].tobytes() for a in (x[index], faces[index], kinds)))
    for index, span in enumerate(order.spans):
        row, ends = rows[index], slice(index, index + 2)
        seen = (*x[ends], *faces[ends], kinds, span.half_turns.astype("i2"))
        about = repr((gaps[index], span.word)).encode()
        open_.append(about + b"".join(a[row].tobytes() for a in seen))
    return woven, open_

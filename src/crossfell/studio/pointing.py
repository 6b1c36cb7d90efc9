"""What lies under a point of the picture, and where does a selection lie?

The browser knows no geometry: it sends a point of the picture (mm from the piece's upper left
corner) and is told what is there, or sends a selection and is given outlines to draw.
A selection is a run of places in a run of spans; its places are those at the end of the span that
she works in, for there the next move of that span would be made.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any

from crossfell.base.quantities import written
from crossfell.draft.edit import moves_of
from crossfell.drawings.scene import polyline, rectangle
from crossfell.drawings.svg import path_data
from crossfell.drawings.threads import Ribbon, outline
from crossfell.drawings.views import View, view_of
from crossfell.piece import Piece
from crossfell.studio.wording import block, stepped, written_exactly

Told = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Selection:
    """Places `first` to `last` at the end of spans `span` to `span_to` (all from 1)."""

    span: int
    first: int
    last: int
    span_to: int


def selection_within(piece: Piece, asked: Selection) -> Selection:
    """The selection, held within the piece."""
    spans, places = len(piece.draft.spans), piece.draft.place_count
    span, span_to = (min(max(n, 1), spans) for n in (asked.span, asked.span_to))
    first, last = sorted(min(max(n, 1), places) for n in (asked.first, asked.last))
    return Selection(span, first, last, span_to)


def pointed(piece: Piece, view_name: str, x: float, y: float, *, slop: float = 0.0) -> Told:
    """What lies at a point of a view: a band, or a span with its place and unit.

    `slop` (mm) makes bands easier to hit, up to a fifth of the spans beside them.
    """
    view = view_of(piece, view_name)
    loom_x, loom_y = _from_picture(view, x, y)
    paths, draft = piece.paths, piece.draft
    for band in range(len(draft.bands)):
        low, high = float(paths.band_bottom_mm[band]), float(paths.band_top_mm[band])
        near = [span.height_mm / 5 for span in draft.spans[max(band - 1, 0) : band + 1]]
        room = min(slop, *near) if near else slop
        if low - room <= loom_y <= high + room or (band == 0 and loom_y < low):
            return _told_band(piece, band)
        if band < len(draft.spans) and high < loom_y < float(paths.band_bottom_mm[band + 1]):
            share = (loom_y - high) / max(draft.spans[band].height_mm, 1e-9)
            return _told_span(piece, view, band, loom_x, share)
    return _told_band(piece, len(draft.bands) - 1)


def _told_band(piece: Piece, band: int) -> Told:
    woven = piece.draft.bands[band]
    rod = f", {woven.rod.label}" if woven.rod else ""
    return {
        "kind": "band",
        "band": band + 1,
        "span": min(max(band, 1), len(piece.draft.spans)),
        "line": woven.where.line,
        "says": f"band {band + 1}: {woven.picks}{rod}",
    }


def band_told(piece: Piece, view_name: str, band: int) -> Told:
    """A band: its keys as they stand, the way under which they can be set, and its outline."""
    view, draft = view_of(piece, view_name), piece.draft
    index = min(max(band, 1), len(draft.bands)) - 1
    woven, paths = draft.bands[index], piece.paths
    ys = sorted(
        (view.y(float(paths.band_bottom_mm[index])), view.y(float(paths.band_top_mm[index])))
    )
    return _told_band(piece, index) | {
        "path": "band.first" if index == 0 else f"span.{index}.band",
        "picks": woven.picks,
        "rod": woven.rod.label if woven.rod else "",
        "weft": woven.weft,
        "outline": path_data(rectangle(0.0, ys[0], view.width, ys[1])),
    }


def _told_span(piece: Piece, view: View, span: int, loom_x: float, share: float) -> Told:
    order, paths = piece.order, piece.paths
    start, end = paths.x_mm[span], paths.x_mm[span + 1]
    across = start + (end - start) * share
    hits = [u for u, x in enumerate(across) if abs(x - loom_x) <= paths.width_mm[u] / 2]
    layers = order.spans[span].layers or ()
    height = {unit: level for level, units in enumerate(layers) for unit in units}
    hits.sort(key=lambda u: height.get(u, 0), reverse=view.frame.deep > 0)
    if hits:
        unit = hits[0]
        place = int(order.place[span + 1, unit])
        came = int(order.place[span, unit])
        way = f"place {place}" if came == place else f"from place {came} to {place}"
        says = f"unit {order.names[unit]}, {way}, span {span + 1}"
        return {"kind": "span", "span": span + 1, "unit": order.names[unit], "place": place,
                "says": says}  # fmt: skip
    pitch = piece.draft.pitch_mm
    place = min(max(int(loom_x // pitch) + 1, 1), piece.draft.place_count)
    return {"kind": "span", "span": span + 1, "unit": None, "place": place,
            "says": f"span {span + 1}, nothing lies here"}  # fmt: skip


def selected(piece: Piece, view_name: str, asked: Selection) -> Told:
    """Outlines of the units that a selection takes, its box, and what to say about it."""
    view, chosen = view_of(piece, view_name), selection_within(piece, asked)
    units = units_of(piece, chosen)
    names = [piece.order.names[u] for u in units]
    spans = range(min(chosen.span, chosen.span_to), max(chosen.span, chosen.span_to) + 1)
    shown = units if len(spans) == 1 else list(range(len(piece.order.names)))
    return {
        "span": chosen.span,
        "span_to": chosen.span_to,
        "first": chosen.first,
        "last": chosen.last,
        "units": names,
        "yarns": _yarns(piece, units),
        "box": _box(piece, view, chosen),
        "outline": "" if len(spans) > 1 else outlines(piece, view, chosen.span, shown),
        "says": _said(piece, chosen, names),
        "height": written(piece.draft.spans[chosen.span - 1].height_mm, piece.draft.measure),
        "moves": list(moves_of(piece.draft.text, chosen.span)),
    }


def _yarns(piece: Piece, units: list[int]) -> list[Told]:
    """The yarns of these units, and how many of them have each."""
    draft = piece.draft
    counted = Counter(
        yarn
        for unit in units
        for yarn in {name for _, name in draft.kinds[draft.units[unit].kind].ends}
    )
    return [
        {"name": name, "colour": draft.yarns[name].colour, "units": count}
        for name, count in sorted(counted.items(), key=lambda item: (-item[1], item[0]))
        if name in draft.yarns
    ]


def units_of(piece: Piece, chosen: Selection) -> list[int]:
    """Units in the places of a selection, from the left, at the end of its span."""
    row = piece.order.by_place(chosen.span, piece.draft.place_count)
    return [u for u in row[chosen.first - 1 : chosen.last] if u is not None]


def outlines(piece: Piece, view: View, span: int, units: list[int]) -> str:
    """SVG path data of the outlines of units in a span (mm from the piece's upper left corner)."""
    paths, index = piece.paths, span - 1
    upper, lower = view.frame.above(index), view.frame.below(index)
    top, low = sorted((view.y(float(paths.band_top_mm[index])),
                       view.y(float(paths.band_bottom_mm[index + 1]))))  # fmt: skip
    parts = []
    for unit in units:
        x0, x1 = (view.x(float(paths.x_mm[band, unit])) for band in (upper, lower))
        half = float(paths.width_mm[unit]) / 2
        ribbon = Ribbon(
            runs=(), width=2 * half, dx=x1 - x0, height=low - top, sign=1, half_turns=0,
            over=False, under=False,
        )  # fmt: skip
        parts.append(path_data(outline(ribbon, -half, half, x0, top)))
    return "".join(parts)


def _box(piece: Piece, view: View, chosen: Selection) -> str:
    """Path data of the places of a selection at the end of its span, or of its spans."""
    paths, pitch = piece.paths, piece.draft.pitch_mm
    start, end = sorted((chosen.span, chosen.span_to))
    ends = (float(paths.band_bottom_mm[end]), float(paths.band_top_mm[start - 1]))
    xs = sorted((view.x((chosen.first - 1) * pitch), view.x(chosen.last * pitch)))
    ys = sorted(view.y(value) for value in ends)
    if start != end:
        return path_data(rectangle(xs[0], ys[0], xs[1], ys[1]))
    edge = view.y(ends[0])
    depth = min(6.0, 0.2 * (ys[1] - ys[0])) * (1 if edge == ys[0] else -1)
    return path_data(
        polyline([(xs[0], edge + depth), (xs[0], edge), (xs[1], edge), (xs[1], edge + depth)])
    )


def _said(piece: Piece, chosen: Selection, names: list[str]) -> str:
    start, end = sorted((chosen.span, chosen.span_to))
    places = block(chosen.first, chosen.last)
    where = f"place{'s' if chosen.last > chosen.first else ''} {places}"
    if start != end:
        return f"spans {start}-{end}, {where}"
    who = ", ".join(names[:6]) + (f" and {len(names) - 6} more" if len(names) > 6 else "")
    says = f"span {start}, {where}: {who or 'empty'}"
    level = [piece.order.names.index(n) for n in names]
    back = [n for n, u in zip(names, level, strict=True) if piece.order.face[chosen.span, u] < 0]
    return f"{says}; turned over: {', '.join(back[:6])}" if back else says


def dragged(piece: Piece, view_name: str, asked: Selection, from_x: float, to_x: float) -> int:
    """How many places a selection was dragged, right positive as seen; held within the piece."""
    view, chosen = view_of(piece, view_name), selection_within(piece, asked)
    return held(piece, view, chosen, round((to_x - from_x) / piece.draft.pitch_mm))


def held(piece: Piece, view: View, chosen: Selection, by: int) -> int:
    """A number of places to go, right positive as seen, so that the selection stays within."""
    low, high = view.frame.row((chosen.first - 1, piece.draft.place_count - chosen.last))
    return max(-low, min(by, high))


def band_dragged(piece: Piece, view_name: str, band: int, from_y: float, to_y: float) -> Told:
    """The height that dragging a band gives the span that it closes.

    The first band changes the span that it opens. Told: the height in words, the edit, the line
    where the band would lie (mm).
    """
    view, draft = view_of(piece, view_name), piece.draft
    index = min(max(band, 1), len(draft.bands)) - 1
    span = draft.spans[max(index - 1, 0)]
    grows = -view.frame.up * (1 if index else -1)  # what is further down in the picture
    along = (to_y - from_y) * grows
    height = stepped(span.height_mm + along, draft.measure)
    moved = (height - span.height_mm) * grows
    said = written_exactly(height, draft.measure)
    return {
        "says": f"span {span.number}: {said} high",
        "edit": {"do": "height", "span": span.number, "height": said},
        "line": round(view.y(float(piece.paths.band_bottom_mm[index])) + moved, 2),
    }


def _from_picture(view: View, x: float, y: float) -> tuple[float, float]:
    return view.x(x), view.y(y)

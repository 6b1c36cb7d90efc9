"""The hung piece in its colours: every unit a ribbon, where it comes to rest.

True to scale, or with all movements and bows so many times as large. A unit that bows does so by
what it would with rods that bend; yarn lies to its left and right as its face does.
"""

from __future__ import annotations

import math

import numpy as np

from crossfell.base.frame import FROM_BEHIND, Frame
from crossfell.drawings.look import kind_runs
from crossfell.drawings.scene import Command, DrawnPath, Item
from crossfell.piece import Piece
from crossfell.statics.bow import bow_mm
from crossfell.statics.rig import DraftedWall, on_the_wall
from crossfell.statics.springs import Floats

EDGE = "#6f6a62"  # a thin line round each ribbon, so that light yarn shows on paper
EDGE_SHARE = 0.015  # of the pitch
WEFT_COVERS = 0.45  # of a band's light: weft lies over the warp
LEAST_BOW_MM = 0.5
Point = tuple[float, float]


class HungPlaces:
    """Where points of bands lie on the wall, from the front or behind."""

    def __init__(self, piece: Piece, *, times: float = 1.0, behind: bool = False) -> None:
        self.piece, self.times = piece, times
        self.wall: DraftedWall = on_the_wall(piece.draft, piece.order, piece.paths)
        self.pose = times * piece.hung.rest.pose
        self.seen = FROM_BEHIND if behind else Frame()

    def point(self, band: int, x: float, y: float) -> Point:
        """A point of a band (from the top) as it hangs; mm, y up."""
        ux, uy, tilt = self.pose[band].tolist()
        middle, rod = self.wall.middle_mm, float(self.wall.rod_mm[band])
        dx, dy = x - middle, y - rod
        c, s = math.cos(tilt), math.sin(tilt)
        there = middle + ux + c * dx - s * dy
        return self.seen.x(there, 2 * middle), rod + uy + s * dx + c * dy


def ribbons(piece: Piece, at: Point, *, times: float = 1.0, behind: bool = False) -> list[Item]:
    """Bands and open units, those behind first; `at` is the lower left corner in the picture."""
    hung = HungPlaces(piece, times=times, behind=behind)
    items: list[Item] = []
    for span in range(len(hung.wall.turns)):
        items += _open(hung, span, at)
    for band in range(len(hung.wall.x_mm)):
        items += _band(hung, band, at)
    return items


def _open(hung: HungPlaces, span: int, at: Point) -> list[Item]:
    piece, wall = hung.piece, hung.wall
    index = range(len(piece.draft.spans))[piece.draft.on_wall().downwards][span]
    bow = bow_mm(piece.paths.chord_mm[index], piece.bent.slack_mm[index]) * hung.times
    layers = piece.order.spans[index].layers
    units = range(len(piece.draft.units)) if layers is None else [u for row in layers for u in row]
    turns = wall.turns[span]
    items: list[Item] = []
    for u in list(units)[:: hung.seen.deep]:
        face = float(wall.face[span, u])
        low = float(wall.face[span + 1, u])
        if turns[u] and turns[u] % 2 == 0:
            low = -low
        kind = piece.draft.kinds[piece.draft.units[u].kind]
        for run in kind_runs(piece.draft, kind):
            x1, x2 = float(wall.x_mm[span, u]), float(wall.x_mm[span + 1, u])
            y1, y2 = float(wall.low_mm[span]), float(wall.high_mm[span + 1])
            above = [hung.point(span, x1 + face * o, y1) for o in (run.start, run.end)]
            below = [hung.point(span + 1, x2 + low * o, y2) for o in (run.start, run.end)]
            colour = piece.draft.yarns[run.yarn].colour
            items.append(_ribbon(hung, (above, below), at, colour, _rise(bow, u)))
    return items


def _rise(bow: Floats, unit: int) -> float:
    rise = float(bow[unit])
    return (rise if unit % 2 else -rise) if rise > LEAST_BOW_MM else 0.0


def _ribbon(
    hung: HungPlaces, ends: tuple[list[Point], list[Point]], at: Point, colour: str, rise: float
) -> DrawnPath:
    """One run of ends from band to band; a slack one leaves its chord by `rise` at its middle."""
    (a, b), (c, d) = ([(at[0] + x, at[1] - y) for x, y in pair] for pair in ends)
    commands: tuple[Command, ...]
    if rise:
        commands = (("M", a), _curve(a, c, rise), ("L", d), _curve(d, b, rise), ("Z", ()))
    else:
        commands = (("M", a), ("L", c), ("L", d), ("L", b), ("Z", ()))
    return DrawnPath(commands, fill=colour, stroke=EDGE, stroke_mm=_edge(hung))


def _curve(a: Point, b: Point, rise: float) -> Command:
    """A bow as a cubic; as far to the same side on the way up as on the way down."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    long = math.hypot(dx, dy) or 1.0
    sign = 1.0 if dy >= 0 else -1.0
    aside = (4 / 3 * rise * sign * dy / long, -4 / 3 * rise * sign * dx / long)
    one = (a[0] + dx / 3 + aside[0], a[1] + dy / 3 + aside[1])
    two = (a[0] + 2 * dx / 3 + aside[0], a[1] + 2 * dy / 3 + aside[1])
    return ("C", (*one, *two, *b))


def _edge(hung: HungPlaces) -> float:
    return EDGE_SHARE * hung.piece.draft.pitch_mm


def _band(hung: HungPlaces, band: int, at: Point) -> list[Item]:
    """Warp of a band under its weft."""
    piece, wall = hung.piece, hung.wall
    low, high = float(wall.low_mm[band]), float(wall.high_mm[band])
    items: list[Item] = []
    for u, unit in enumerate(piece.draft.units):
        x, face = float(wall.x_mm[band, u]), float(wall.face[band, u])
        for run in kind_runs(piece.draft, piece.draft.kinds[unit.kind]):
            colour = piece.draft.yarns[run.yarn].colour
            ends = (x + face * run.start, x + face * run.end)
            items.append(_patch(hung, band, (*ends, low, high), at, colour, 1.0))
    index = range(len(piece.draft.bands))[piece.draft.on_wall().downwards][band]
    weft = piece.draft.bands[index].weft or next(iter(piece.draft.yarns))
    wide = np.array([wall.x_mm[band].min(), wall.x_mm[band].max()]).tolist()
    half = piece.draft.pitch_mm / 2
    box = (max(0.0, wide[0] - half), min(2 * wall.middle_mm, wide[1] + half), low, high)
    items.append(_patch(hung, band, box, at, piece.draft.yarns[weft].colour, WEFT_COVERS))
    return items


def _patch(
    hung: HungPlaces, band: int, box: tuple[float, ...], at: Point, colour: str, opacity: float
) -> DrawnPath:
    left, right, low, high = box
    corners = ((left, low), (left, high), (right, high), (right, low))
    points = [hung.point(band, x, y) for x, y in corners]
    first, *rest = [(at[0] + x, at[1] - y) for x, y in points]
    lines: tuple[Command, ...] = tuple(("L", point) for point in rest)
    return DrawnPath((("M", first), *lines, ("Z", ())), fill=colour, stroke=EDGE,
                 stroke_mm=_edge(hung), opacity=opacity)  # fmt: skip

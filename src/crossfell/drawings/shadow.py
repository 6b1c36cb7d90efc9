"""Where does the piece's shadow fall on the wall, how large and how sharp?

One lamp, a disc of its diameter, before a flat wall; the piece hangs parallel to the wall, as
drawn. Lengths mm: x from the left edge of the piece, heights above the floor. A point at d from the
wall throws its shadow from the lamp's centre at D: magnified by t = D/(D − d). Edges are soft over
S d/(D − d); a thread narrower than S d/D has no full shadow left.
Source: derived, similar triangles. Checked: tests/drawings/test_hung_and_shadow.py on worked
numbers.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.base.quantities import written
from crossfell.drawings.lettering import width_em
from crossfell.drawings.look import INK, QUIET
from crossfell.drawings.scene import DrawnPath, Item, Layer, Scene, Text, polyline, rectangle
from crossfell.paths.rods import rods_on_wall_mm
from crossfell.paths.stage import yarn_diameter_mm
from crossfell.piece import Piece
from crossfell.statics.rig import on_the_wall

WALL, DARK = "#f4f1ea", "#1d1a17"
STEPS = 5  # strokes that a soft edge is drawn with


@dataclass(frozen=True, kw_only=True)
class Lamp:
    """A lamp: from the wall, above the floor, right of the piece's left edge, its diameter."""

    from_wall_mm: float
    height_mm: float
    x_mm: float
    diameter_mm: float


@dataclass(frozen=True, kw_only=True)
class Cast:
    """How a thing `d` from the wall is cast."""

    magnified: float  # t = D/(D − d)
    soft_mm: float  # width of each soft edge
    core_mm: float  # width of the full shadow; 0: there is none
    darkness: float  # 1: no light of the lamp reaches the middle of the shadow


def cast(lamp: Lamp, width_mm: float, off_wall_mm: float) -> Cast:
    """Shadow of a thread `width_mm` wide. Errors: ValueError for a lamp behind the piece."""
    if lamp.from_wall_mm <= off_wall_mm:
        raise ValueError("the lamp hangs between the piece and the wall")
    reach = lamp.from_wall_mm - off_wall_mm
    soft = lamp.diameter_mm * off_wall_mm / reach
    core = width_mm * lamp.from_wall_mm / reach - soft
    darkness = 1.0
    if core < 0:
        darkness = width_mm * lamp.from_wall_mm / (lamp.diameter_mm * off_wall_mm)
    return Cast(magnified=lamp.from_wall_mm / reach, soft_mm=soft, core_mm=max(core, 0.0),
                darkness=darkness)  # fmt: skip


def thrown(lamp: Lamp, x_mm: float, height_mm: float, off_wall_mm: float) -> tuple[float, float]:
    """Where a point's shadow falls: x, height above the floor."""
    t = lamp.from_wall_mm / (lamp.from_wall_mm - off_wall_mm)
    return lamp.x_mm + (x_mm - lamp.x_mm) * t, lamp.height_mm + (height_mm - lamp.height_mm) * t


def lamp_of(piece: Piece) -> Lamp | None:
    """The lamp of the draft: distance, height, right of the piece's middle, diameter."""
    given = piece.draft.hang.lamp
    if len(given) < 2:
        return None
    side = given[2] if len(given) > 2 else 0.0
    size = given[3] if len(given) > 3 else 50.0
    return Lamp(from_wall_mm=given[0], height_mm=given[1],
                x_mm=piece.paths.width_total_mm / 2 + side, diameter_mm=size)  # fmt: skip


def shadow_view(piece: Piece, lamp: Lamp) -> Scene:
    """The shadow on the wall, and the outline of the piece before it, seen from the front."""
    hang, wall = piece.draft.hang, on_the_wall(piece.draft, piece.order, piece.paths)
    away, floor = hang.off_wall_mm, hang.above_floor_mm
    wide, high = piece.paths.width_total_mm, piece.paths.height_total_mm
    corners = [thrown(lamp, x, y, away) for x in (0.0, wide) for y in (floor, floor + high)]
    letter = max(4.0, 0.016 * max(wide, high))
    soft = cast(lamp, 1.0, away).soft_mm + piece.paths.rod_side_mm * 1.5
    left = min(0.0, *(x for x, _ in corners)) - soft - 2 * letter
    right = max(wide, *(x for x, _ in corners)) + soft + 2 * letter
    top = max(floor + high, *(y for _, y in corners)) + soft + 3 * letter
    low = min(floor, *(y for _, y in corners)) - soft - letter

    def put(x: float, y: float) -> tuple[float, float]:
        return x - left, top - y

    shadows: list[Item] = []
    for k in range(len(wall.turns)):
        for u in range(len(piece.draft.units)):
            ends = [thrown(lamp, float(wall.x_mm[b, u]), floor + float(y), away)
                    for b, y in ((k, wall.low_mm[k]), (k + 1, wall.high_mm[k + 1]))]  # fmt: skip
            width, cover = _ribbon(piece, u)
            shadows += _soft([put(*end) for end in ends], cast(lamp, width, away), cover)
    rods = rods_on_wall_mm(piece.draft, piece.paths)[piece.draft.on_wall().downwards].tolist()
    drawn = piece.draft.bands[piece.draft.on_wall().downwards]
    for b, band in enumerate(drawn):
        y = floor + float(wall.rod_mm[b])
        tips = [put(*thrown(lamp, x, y, away)) for x in rods[b]]
        if band.rod:
            shadows += _soft(tips, cast(lamp, band.rod.diameter_mm, away), 1.0)
    outline = DrawnPath(rectangle(*put(0.0, floor + high), *put(wide, floor)), stroke=QUIET,
                    stroke_mm=0.12 * letter)  # fmt: skip
    width_mm, height_mm = right - left, top - low + 7 * letter
    return Scene(
        width_mm=width_mm,
        height_mm=height_mm,
        title=piece.draft.about.title,
        says=f"{piece.draft.about.title}, its shadow on the wall, from the front",
        layers=(
            Layer("wall", (DrawnPath(rectangle(0, 0, width_mm, height_mm), fill=WALL),)),
            Layer("shadows", tuple(shadows)),
            Layer("piece", (outline,)),
            Layer("letters", _says(piece, lamp, (2 * letter, top - low, letter), width_mm)),
        ),
    )


def _ribbon(piece: Piece, unit: int) -> tuple[float, float]:
    """Width of a unit (mm), and the share of it that its ends cover."""
    kind = piece.draft.kinds[piece.draft.units[unit].kind]
    width = piece.draft.strips[kind.strip].width_mm
    ends = sum(count * yarn_diameter_mm(piece.draft, yarn) for count, yarn in kind.ends)
    return width, min(ends / width, 1.0)


def _soft(line: list[tuple[float, float]], shadow: Cast, cover: float) -> list[Item]:
    """A shadow with soft edges: strokes of growing width, each a part of its darkness."""
    whole = shadow.core_mm + 2 * shadow.soft_mm
    each = 1 - (1 - 0.8 * cover * min(shadow.darkness, 1.0)) ** (1 / STEPS)
    return [
        DrawnPath(polyline(line), stroke=DARK, opacity=round(each, 3),
              stroke_mm=max(shadow.core_mm + (whole - shadow.core_mm) * (i + 0.5) / STEPS, 0.1))
        for i in range(STEPS)
    ]  # fmt: skip


def _says(
    piece: Piece, lamp: Lamp, at: tuple[float, float, float], room: float
) -> tuple[Item, ...]:
    left, y, letter = at
    measure, away = piece.draft.measure, piece.draft.hang.off_wall_mm
    yarn = min((yarn_diameter_mm(piece.draft, name) for name in piece.draft.yarns), default=1.0)
    unit, thread = cast(lamp, _ribbon(piece, 0)[0], away), cast(lamp, yarn, away)
    lines = (
        f"Lamp {written(lamp.from_wall_mm, measure)} from the wall, "
        f"{written(lamp.height_mm, measure)} above the floor, "
        f"{written(lamp.diameter_mm, measure)} wide; piece {written(away, measure)} from the wall.",
        f"Shadow {np.round(100 * (unit.magnified - 1), 1):g} % larger than the piece; edges soft "
        f"over {written(unit.soft_mm, measure)}.",
        f"A single end {written(yarn, measure)} thick "
        + ("keeps a full shadow." if thread.core_mm else
           f"has none: at most {thread.darkness:.0%} dark.")
        + " The frame is the piece, from the front.",
    )  # fmt: skip
    size = min(0.85 * letter, *((room - 2 * left) / width_em(line) for line in lines))
    title = Text(left, y + letter, "Its shadow on the wall", 1.2 * letter, INK, bold=True,
                 ground=WALL)  # fmt: skip
    return (
        title,
        *(Text(left, y + (2.6 + 1.35 * i) * letter, line, size, QUIET, ground=WALL)
          for i, line in enumerate(lines)),
    )  # fmt: skip

"""How is one unit drawn through one span?

A ribbon is a parallelogram between its two bands: every end runs straight, and the ribbon narrows
across its path as it leans. A turned unit is a twisted ribbon: each end swings from one edge to
the other, and the ribbon shows its edge where it stands on it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.drawings.colour import mixed
from crossfell.drawings.scene import Point, Shape
from crossfell.drawings.style import Manner
from crossfell.drawings.view import View

HALO_MM = 1.5  # gap beside a ribbon that passes over
SHADOW: Point = (1.7, 2.1)
STEPS = 14  # pieces of a half turn


@dataclass(frozen=True, kw_only=True)
class Ribbon:
    """One unit in one span, in the loom's frame (mm); `share` cuts a piece out of its height."""

    start: Point
    end: Point
    width_mm: float
    yarns: tuple[str, ...]  # of each end, from the left, face forward
    face: int  # at the start
    half_turns: int
    over: bool  # passes over something here
    share: tuple[float, float] = (0.0, 1.0)


def painted(ribbon: Ribbon, view: View, manner: Manner) -> list[Shape]:
    """Shapes of a ribbon, in painting order."""
    outline = _outline(ribbon, view)
    shapes: list[Shape] = []
    if ribbon.over:
        shapes += _apart(outline, manner)
    base = manner.base(list(ribbon.yarns))
    shapes.append(Shape(runs=outline, fill=base, closed=True))
    if manner.shade and ribbon.half_turns:
        shapes += _twist_shade(ribbon, view, base)
    if manner.ends:
        shapes += _ends(ribbon, view, manner)
    edge = mixed(base, "#000000", 0.62) if manner.shade else manner.outline
    width = 0.45 if manner.shade else 0.35
    shapes.append(Shape(runs=_edges(ribbon, view), stroke=edge, width=width))
    return shapes


def _apart(outline: tuple[tuple[Point, ...], ...], manner: Manner) -> list[Shape]:
    """What tells over from under: a shadow on what lies below, and a gap beside the ribbon."""
    shapes = []
    dx, dy = SHADOW
    if manner.shade:
        cast = tuple(tuple((x + dx, y + dy) for x, y in run) for run in outline)
        shapes.append(Shape(runs=cast, fill="#2a2118", closed=True, opacity=0.22))
    shapes.append(
        Shape(
            runs=outline,
            fill=manner.ground,
            stroke=manner.ground,
            width=2 * HALO_MM,
            closed=True,
        )
    )
    return shapes


def _levels(ribbon: Ribbon) -> list[float]:
    first, last = ribbon.share
    count = STEPS * abs(ribbon.half_turns) if ribbon.half_turns else 1
    return [first + (last - first) * i / count for i in range(count + 1)]


def _across(ribbon: Ribbon, level: float) -> float:
    """How wide the ribbon shows at a level, signed: 1 face forward at the start, -1 turned."""
    if not ribbon.half_turns:
        return 1.0
    return math.cos(math.pi * ribbon.half_turns * _eased(level))


def _eased(level: float) -> float:
    """The twist keeps off the bands a little."""
    free = min(max((level - 0.08) / 0.84, 0.0), 1.0)
    return free * free * (3 - 2 * free) * 0.5 + free * 0.5


def _at(ribbon: Ribbon, level: float, offset: float) -> Point:
    (x0, y0), (x1, y1) = ribbon.start, ribbon.end
    return x0 + (x1 - x0) * level + offset, y0 + (y1 - y0) * level


def _side(ribbon: Ribbon, view: View, offset: float, *, edge: bool = False) -> tuple[Point, ...]:
    points = []
    for level in _levels(ribbon):
        across = _across(ribbon, level)
        across = max(abs(across), 0.06) if edge else across
        points.append(view.point(*_at(ribbon, level, offset * across)))
    return tuple(points)


def _outline(ribbon: Ribbon, view: View) -> tuple[tuple[Point, ...], ...]:
    half = ribbon.width_mm / 2
    left = _side(ribbon, view, -half, edge=True)
    right = _side(ribbon, view, half, edge=True)
    return (left + tuple(reversed(right)),)


def _edges(ribbon: Ribbon, view: View) -> tuple[tuple[Point, ...], ...]:
    half = ribbon.width_mm / 2
    return _side(ribbon, view, -half, edge=True), _side(ribbon, view, half, edge=True)


def _ends(ribbon: Ribbon, view: View, manner: Manner) -> list[Shape]:
    count = len(ribbon.yarns)
    spacing = ribbon.width_mm / count
    by_yarn: dict[str, list[tuple[Point, ...]]] = {}
    for index, yarn in enumerate(ribbon.yarns):
        offset = (index - (count - 1) / 2) * spacing * ribbon.face
        by_yarn.setdefault(yarn, []).append(_side(ribbon, view, offset))
    shapes = []
    for yarn, runs in by_yarn.items():
        thread = manner.threads[yarn]
        shapes.append(
            Shape(runs=tuple(runs), stroke=thread.colour, width=thread.width_mm, dash=thread.dash)
        )
    return shapes


def _twist_shade(ribbon: Ribbon, view: View, base: str) -> list[Shape]:
    """The side that stands edge on lies in the dark."""
    half = ribbon.width_mm / 2
    levels = _levels(ribbon)
    shapes = []
    for low, high in zip(levels, levels[1:], strict=False):
        across = abs(_across(ribbon, (low + high) / 2))
        if across > 0.9:
            continue
        corners = (
            (low, -1.0), (high, -1.0), (high, 1.0), (low, 1.0)
        )  # fmt: skip
        run = tuple(
            view.point(*_at(ribbon, level, side * half * max(abs(_across(ribbon, level)), 0.06)))
            for level, side in corners
        )
        shade = mixed(base, "#000000", 0.55 + 0.45 * across)
        shapes.append(Shape(runs=(run,), fill=shade, stroke=shade, width=0.1, closed=True))
    return shapes


def meeting(one: Sequence[float], other: Sequence[float]) -> float | None:
    """Level (0 to 1) at which two straight chords meet; one, other: x at start and at end."""
    apart0, apart1 = one[0] - other[0], one[1] - other[1]
    if apart0 * apart1 >= 0:
        return None
    return apart0 / (apart0 - apart1)

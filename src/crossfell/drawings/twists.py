"""What does a unit look like that turns over between two bands?

Half way through each half turn it stands on its edge; then its other face opens, its ends in
reversed order. The light comes from the upper left, so a Z twist is light above and dark below
each edge, an S twist the other way round.
"""

from __future__ import annotations

import math
from itertools import pairwise

from crossfell.drawings.look import SHADE, Look
from crossfell.drawings.scene import Command, DrawnPath, polyline
from crossfell.drawings.threads import Ribbon, eased, gap_beside, woven

STEPS = 12  # from flat to edge
Point = tuple[float, float]


def twisted(ribbon: Ribbon, look: Look) -> list[DrawnPath]:
    """Shapes of a turned ribbon: between two edges it shows one face."""
    half = ribbon.width / 2
    both = (*_line(ribbon, -half, 0, 1), *_line(ribbon, half, 0, 1))
    shapes = gap_beside(ribbon, look, both)
    turns = abs(ribbon.half_turns)
    cuts = [0.0, *((k + 0.5) / turns for k in range(turns)), 1.0]
    for start, end in pairwise(cuts):
        for run in ribbon.runs:
            left = _points(ribbon, ribbon.sign * run.start, start, end)
            right = _points(ribbon, ribbon.sign * run.end, start, end)
            body = polyline([*left, *reversed(right)], closed=True)
            threads = tuple(
                command
                for at in run.ends
                for command in _line(ribbon, ribbon.sign * at, start, end)
            )
            shapes += woven(run, look, body, threads)
        if look.style == "full":
            shapes += _tilt(ribbon, start, end)
    edge = SHADE if look.style == "full" else "#000000"
    shapes.append(DrawnPath(both, stroke=edge, stroke_mm=0.03 * ribbon.width, opacity=0.6))
    return shapes


def twisted_hull(ribbon: Ribbon) -> tuple[Command, ...]:
    """The outline of a turned ribbon."""
    half = ribbon.width / 2
    left, right = _points(ribbon, -half, 0, 1), _points(ribbon, half, 0, 1)
    return polyline([*left, *reversed(right)], closed=True)


def _tilt(ribbon: Ribbon, start: float, end: float) -> list[DrawnPath]:
    half = ribbon.width / 2
    left, right = _points(ribbon, -half, start, end), _points(ribbon, half, start, end)
    shapes = []
    for i in range(len(left) - 1):
        theta = math.pi * ribbon.half_turns * (start + (end - start) * (i + 0.5) / (len(left) - 1))
        tilt = math.sin(theta) * (1 if math.cos(theta) >= 0 else -1)
        quad = polyline([left[i], left[i + 1], right[i + 1], right[i]], closed=True)
        colour, most = ("#ffffff", 0.3) if tilt > 0 else (SHADE, 0.55)
        shapes.append(DrawnPath(quad, fill=colour, opacity=round(most * abs(tilt), 2)))
    return shapes


def _points(ribbon: Ribbon, offset: float, start: float, end: float) -> list[Point]:
    """Points of one end; start and end are shares of the whole twist."""
    turns = math.pi * ribbon.half_turns
    count = max(2, round(2 * STEPS * abs(ribbon.half_turns) * (end - start)))
    points = []
    for i in range(count + 1):
        share = start + (end - start) * i / count
        x, y = eased(ribbon.dx, ribbon.height, _where(share))
        points.append((x + offset * math.cos(turns * share), y))
    return points


def _where(share: float) -> float:
    """Where (0 to 1) a share of the twist is done: flat at the bands, quickest half way.

    The inverse of 3u² - 2u³. Source: derived. Checked: tests/drawings.
    """
    return 0.5 - math.sin(math.asin(1 - 2 * share) / 3)


def _line(ribbon: Ribbon, offset: float, start: float, end: float) -> tuple[Command, ...]:
    return polyline(_points(ribbon, offset, start, end))

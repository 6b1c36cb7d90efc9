"""How do the ends of a ribbon run between two bands, and what sets it off from what it passes?

A ribbon is drawn in a frame of its own: x from the middle of its upper end, y down. It keeps its
width measured along the bands, so a leaning ribbon narrows to w·cos(lean) across its path, as it
does at the loom. Its centre line is the straight chord of the paths with a slight ease at the
bands; all units of a span ease alike, so they meet in the same places.
"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.drawings.look import SHADE, THREAD_SHARE, Look, Run, thread_colours, wall_colour
from crossfell.drawings.scene import Command, DrawnPath

EASE_X, EASE_Y = 0.25, 0.35  # of a cubic from band to band; 1/3 and 1/3 would be the chord itself
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Ribbon:
    """Everything that a ribbon's picture depends on: equal ribbons share one symbol."""

    runs: tuple[Run, ...]
    width: float
    dx: float  # sideways from its upper to its lower end
    height: float
    sign: int  # 1: ends lie left to right at the upper end; -1: right to left
    half_turns: int  # right (Z) positive
    over: bool  # passes over somebody, as seen here
    under: bool


def eased(dx: float, height: float, u: float) -> Point:
    """A point of the centre line, u from 0 (above) to 1 (below)."""
    v = 1 - u
    a, b = 3 * u * v * v, 3 * u * u * v
    return dx * (a * EASE_X + b * (1 - EASE_X) + u**3), height * (
        a * EASE_Y + b * (1 - EASE_Y) + u**3
    )


def outline(ribbon: Ribbon, left: float, right: float, x: float, y: float) -> tuple[Command, ...]:
    """The closed outline of an untwisted ribbon between two offsets (mm), moved to x, y."""
    (x0, y0), c1, c2, (x1, y1) = curve(ribbon, left, x, y)
    (x2, y2), d1, d2, (x3, y3) = curve(ribbon, right, x, y)
    return (
        ("M", (x0, y0)),
        ("C", (*c1, *c2, x1, y1)),
        ("L", (x3, y3)),
        ("C", (*d2, *d1, x2, y2)),
        ("Z", ()),
    )


def curve(
    ribbon: Ribbon, offset: float, x: float = 0.0, y: float = 0.0
) -> tuple[Point, Point, Point, Point]:
    """The cubic of one end, `offset` mm from the middle, moved to x, y."""
    dx, h, at = ribbon.dx, ribbon.height, x + offset
    return (
        (at, y),
        (at + dx * EASE_X, y + h * EASE_Y),
        (at + dx * (1 - EASE_X), y + h * (1 - EASE_Y)),
        (at + dx, y + h),
    )


def end_line(ribbon: Ribbon, offset: float) -> tuple[Command, ...]:
    """The path of one end."""
    start, one, two, end = curve(ribbon, offset)
    if abs(ribbon.dx) < 0.01:
        return (("M", start), ("L", end))
    return (("M", start), ("C", (*one, *two, *end)))


def gap_beside(ribbon: Ribbon, look: Look, edges: tuple[Command, ...]) -> list[DrawnPath]:
    """What sets a ribbon off from whatever it passes over: a gap, and a shadow beyond it."""
    if not ribbon.over:
        return []
    w = ribbon.width
    if look.style != "full":
        return [DrawnPath(edges, stroke="#ffffff", stroke_mm=0.12 * w)]
    shadow = [
        DrawnPath(edges, stroke=SHADE, stroke_mm=share * w, opacity=opacity)
        for share, opacity in ((0.46, 0.07), (0.32, 0.09), (0.2, 0.13))
    ]
    return [*shadow, DrawnPath(edges, stroke=wall_colour(look), stroke_mm=0.06 * w, opacity=0.8)]


def woven(
    run: Run, look: Look, body: tuple[Command, ...], threads: tuple[Command, ...]
) -> list[DrawnPath]:
    """One run of like ends: its ground and its ends."""
    fill = look.fills[run.yarn]
    if not look.threads or not run.ends:
        mark = look.marks.get(run.yarn)
        return [DrawnPath(body, fill=fill), *([DrawnPath(body, fill=mark)] if mark else [])]
    thread, between = thread_colours(look.colours[run.yarn])
    step = (run.end - run.start) / len(run.ends)
    return [
        DrawnPath(body, fill=fill, detail="coarse"),
        DrawnPath(body, fill=between, detail="fine"),
        DrawnPath(threads, stroke=thread, stroke_mm=THREAD_SHARE * step, detail="fine"),
    ]

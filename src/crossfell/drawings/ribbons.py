"""What does one unit look like between two bands: its ends, its shade, its twist?

A ribbon is drawn in a frame of its own: x from the middle of its upper end, y down. It keeps its
width measured along the bands, so a leaning ribbon narrows to w·cos(lean) across its path, as it
does at the loom. Its centre line is the straight chord of the paths with a slight ease at the
bands; all units of a span ease alike, so they meet in the same places.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from crossfell.drawings.look import SHADE, THREAD_SHARE, Look, Run, thread_colours, wall_colour
from crossfell.drawings.scene import Command, Fade, Shape, Symbol

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


def ribbon_symbol(ribbon: Ribbon, look: Look, name: str) -> Symbol:
    """The picture of a ribbon."""
    return Symbol(name, _shapes(ribbon, look))


@lru_cache(maxsize=4096)
def _shapes(ribbon: Ribbon, look: Look) -> tuple[Shape, ...]:
    from crossfell.drawings.twists import twisted

    shapes = twisted(ribbon, look) if ribbon.half_turns else _flat(ribbon, look)
    if look.style == "full":
        shapes.append(Shape(hull(ribbon), fill=f"url(#{fade_name(ribbon)})"))
    return tuple(shapes)


def shadow_symbol(ribbon: Ribbon, name: str, reach: float) -> Symbol:
    """The shadow of a ribbon on the wall behind, `reach` mm away."""
    return Symbol(name, _shadow(ribbon, reach))


@lru_cache(maxsize=4096)
def _shadow(ribbon: Ribbon, reach: float) -> tuple[Shape, ...]:
    whole = hull(ribbon)
    shapes = []
    for share, opacity in ((0.7, 0.1), (1.0, 0.07), (1.35, 0.05)):
        moved = _moved(whole, 0.8 * reach * share, reach * share)
        shapes.append(Shape(moved, fill=SHADE, opacity=opacity))
    return tuple(shapes)


def fade_name(ribbon: Ribbon) -> str:
    """Name of the light along a ribbon: by its height and by whether it is over or under."""
    side = "nuob"[2 * ribbon.over + ribbon.under]
    return f"f{side}{round(100 * ribbon.height)}"


def fade_of(ribbon: Ribbon) -> Fade:
    """Light along a ribbon: it comes out of a band's shade; what is over catches more light."""
    near = min(0.3, 9 / ribbon.height)
    level = int(ribbon.over) - int(ribbon.under)
    middle = {1: ("#ffffff", 0.12), 0: (SHADE, 0.0), -1: (SHADE, 0.24)}[level]
    soft = {1: ("#ffffff", 0.03), 0: (SHADE, 0.0), -1: (SHADE, 0.1)}[level]
    stops = (
        (0.0, SHADE, 0.34),
        (near, *soft),
        (0.5, *middle),
        (1 - near, *soft),
        (1.0, SHADE, 0.16),
    )
    return Fade(fade_name(ribbon), (0, 0), (0, ribbon.height), stops)


def gap_beside(ribbon: Ribbon, look: Look, edges: tuple[Command, ...]) -> list[Shape]:
    """What sets a ribbon off from whatever it passes over: a gap, and a shadow beyond it."""
    if not ribbon.over:
        return []
    w = ribbon.width
    if look.style != "full":
        return [Shape(edges, stroke="#ffffff", stroke_mm=0.12 * w)]
    shadow = [
        Shape(edges, stroke=SHADE, stroke_mm=share * w, opacity=opacity)
        for share, opacity in ((0.46, 0.07), (0.32, 0.09), (0.2, 0.13))
    ]
    return [*shadow, Shape(edges, stroke=wall_colour(look), stroke_mm=0.06 * w, opacity=0.8)]


def woven(
    run: Run, look: Look, body: tuple[Command, ...], threads: tuple[Command, ...]
) -> list[Shape]:
    """One run of like ends: its ground and its ends."""
    fill = look.fills[run.yarn]
    if not look.threads or not run.ends:
        mark = look.marks.get(run.yarn)
        return [Shape(body, fill=fill), *([Shape(body, fill=mark)] if mark else [])]
    thread, between = thread_colours(look.colours[run.yarn])
    step = (run.end - run.start) / len(run.ends)
    return [
        Shape(body, fill=fill, detail="coarse"),
        Shape(body, fill=between, detail="fine"),
        Shape(threads, stroke=thread, stroke_mm=THREAD_SHARE * step, detail="fine"),
    ]


def hull(ribbon: Ribbon) -> tuple[Command, ...]:
    """The outline of the whole ribbon."""
    from crossfell.drawings.twists import twisted_hull

    half = ribbon.width / 2
    return twisted_hull(ribbon) if ribbon.half_turns else outline(ribbon, -half, half, 0, 0)


def _flat(ribbon: Ribbon, look: Look) -> list[Shape]:
    half = ribbon.width / 2
    edges = (*end_line(ribbon, -half), *end_line(ribbon, half))
    shapes = gap_beside(ribbon, look, edges)
    for run in ribbon.runs:
        left, right = sorted((ribbon.sign * run.start, ribbon.sign * run.end))
        body = outline(ribbon, left, right, 0, 0)
        threads = tuple(
            command for end in run.ends for command in end_line(ribbon, ribbon.sign * end)
        )
        shapes += woven(run, look, body, threads)
    if look.style != "full":
        return [*shapes, Shape(edges, stroke="#000000", stroke_mm=0.45)]
    soft = (*end_line(ribbon, -half * 0.9), *end_line(ribbon, half * 0.9))
    return [
        *shapes,
        Shape(end_line(ribbon, -half * 0.2), stroke="#ffffff", stroke_mm=half * 0.9, opacity=0.05),
        Shape(end_line(ribbon, -half * 0.25), stroke="#ffffff", stroke_mm=half * 0.4, opacity=0.05),
        Shape(soft, stroke=SHADE, stroke_mm=half * 0.2, opacity=0.13),
        Shape(edges, stroke=SHADE, stroke_mm=0.035 * ribbon.width, opacity=0.5),
    ]


def _moved(commands: tuple[Command, ...], dx: float, dy: float) -> tuple[Command, ...]:
    return tuple(
        (name, tuple(v + (dx if i % 2 == 0 else dy) for i, v in enumerate(values)))
        for name, values in commands
    )

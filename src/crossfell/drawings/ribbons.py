"""What does one unit look like between two bands: its ends, its shade, its twist?"""

from __future__ import annotations

from functools import lru_cache

from crossfell.drawings.look import SHADE, Look
from crossfell.drawings.scene import Command, DrawnPath, Fade, Symbol
from crossfell.drawings.threads import Ribbon, end_line, gap_beside, outline, woven
from crossfell.drawings.twists import twisted, twisted_hull


def ribbon_symbol(ribbon: Ribbon, look: Look, name: str) -> Symbol:
    """The picture of a ribbon."""
    return Symbol(name, _shapes(ribbon, look))


@lru_cache(maxsize=4096)
def _shapes(ribbon: Ribbon, look: Look) -> tuple[DrawnPath, ...]:
    shapes = twisted(ribbon, look) if ribbon.half_turns else _flat(ribbon, look)
    if look.style == "full":
        shapes.append(DrawnPath(hull(ribbon), fill=f"url(#{fade_name(ribbon)})"))
    return tuple(shapes)


def shadow_symbol(ribbon: Ribbon, name: str, reach: float) -> Symbol:
    """The shadow of a ribbon on the wall behind, `reach` mm away."""
    return Symbol(name, _shadow(ribbon, reach))


@lru_cache(maxsize=4096)
def _shadow(ribbon: Ribbon, reach: float) -> tuple[DrawnPath, ...]:
    whole = hull(ribbon)
    shapes = []
    for share, opacity in ((0.7, 0.1), (1.0, 0.07), (1.35, 0.05)):
        moved = _moved(whole, 0.8 * reach * share, reach * share)
        shapes.append(DrawnPath(moved, fill=SHADE, opacity=opacity))
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


def hull(ribbon: Ribbon) -> tuple[Command, ...]:
    """The outline of the whole ribbon."""
    half = ribbon.width / 2
    return twisted_hull(ribbon) if ribbon.half_turns else outline(ribbon, -half, half, 0, 0)


def _flat(ribbon: Ribbon, look: Look) -> list[DrawnPath]:
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
        return [*shapes, DrawnPath(edges, stroke="#000000", stroke_mm=0.45)]
    soft = (*end_line(ribbon, -half * 0.9), *end_line(ribbon, half * 0.9))
    return [
        *shapes,
        DrawnPath(
            end_line(ribbon, -half * 0.2), stroke="#ffffff", stroke_mm=half * 0.9, opacity=0.05
        ),
        DrawnPath(
            end_line(ribbon, -half * 0.25), stroke="#ffffff", stroke_mm=half * 0.4, opacity=0.05
        ),
        DrawnPath(soft, stroke=SHADE, stroke_mm=half * 0.2, opacity=0.13),
        DrawnPath(edges, stroke=SHADE, stroke_mm=0.035 * ribbon.width, opacity=0.5),
    ]


def _moved(commands: tuple[Command, ...], dx: float, dy: float) -> tuple[Command, ...]:
    return tuple(
        (name, tuple(v + (dx if i % 2 == 0 else dy) for i, v in enumerate(values)))
        for name, values in commands
    )

"""What does a woven band look like: picks, the ends that pass over them, and its rod?"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from crossfell.drawings.look import SHADE, Look, Run, rod_colour, shines, thread_colours
from crossfell.drawings.scene import Command, DrawnPath, Fade, Symbol, rectangle
from crossfell.materials.colour import lit, mixed

DULL = 1.15  # light on a rod that is no metal


@dataclass(frozen=True, slots=True)
class Weave:
    """Rows of a band from above to below in the picture: (top, low, is it the rod) in mm."""

    rows: tuple[tuple[float, float, bool], ...]
    height: float
    weft: str  # yarn
    material: str
    rod_mm: float


def weave_of(
    runs: tuple[int | str, ...], height: float, weft: str, rod: tuple[str, float], *, flip: bool
) -> Weave:
    """Rows of a band `height` mm high; `flip` when the first pick is uppermost."""
    material, rod_mm = rod
    kinds: list[bool] = []
    for run in runs:
        kinds += [True] if isinstance(run, str) else [False] * run
    if not flip:
        kinds.reverse()
    picks, rods = kinds.count(False), kinds.count(True)
    thick = min(rod_mm, 0.6 * height / rods) if rods else 0.0
    pick = (height - rods * thick) / picks if picks else 0.0
    rows, y = [], 0.0
    for is_rod in kinds:
        step = thick if is_rod else pick
        rows.append((y, y + step, is_rod))
        y += step
    return Weave(tuple(rows), height, weft, material, thick)


def cloth_symbol(weave: Weave, runs: tuple[Run, ...], sign: int, look: Look, name: str) -> Symbol:
    """The part of a unit's band that lies behind the rod. Origin: middle of its upper edge."""
    return Symbol(name, _cloth(weave, runs, sign, look))


@lru_cache(maxsize=1024)
def _cloth(weave: Weave, runs: tuple[Run, ...], sign: int, look: Look) -> tuple[DrawnPath, ...]:
    half = max((max(abs(run.start), abs(run.end)) for run in runs), default=0.0)
    if look.style != "full":
        box = rectangle(-half, 0, half, weave.height)
        return (DrawnPath(box, fill="#ffffff"),)
    weft, dark = thread_colours(look.colours[weave.weft])
    shapes = [
        DrawnPath(rectangle(-half, 0, half, weave.height), fill=lit(dark, 0.8), detail="fine")
    ]
    for run in runs:
        left, right = sorted((sign * run.start, sign * run.end))
        flat = mixed(((1.0, look.colours[run.yarn]), (1.0, look.colours[weave.weft])))
        shapes.append(
            DrawnPath(rectangle(left, 0, right, weave.height), fill=flat, detail="coarse")
        )
    lines: list[Command] = []
    thick = 1.0
    for top, low, is_rod in weave.rows:
        if not is_rod:
            thick = 0.84 * (low - top)
            y = (top + low) / 2
            lines += [("M", (-half, y)), ("L", (half, y))]
    if lines:
        shapes.append(DrawnPath(tuple(lines), stroke=weft, stroke_mm=thick, detail="fine"))
    return tuple(shapes)


def picks_symbol(weave: Weave, length: float, look: Look, name: str) -> Symbol:
    """The picks where they show between units. Origin: left end of the band's upper edge."""
    lines: list[Command] = []
    for top, low, is_rod in weave.rows:
        if not is_rod:
            lines += [("M", (0.0, (top + low) / 2)), ("L", (length, (top + low) / 2))]
    full = look.style == "full"
    colour = look.colours[weave.weft] if full else "#000000"
    shape = DrawnPath(tuple(lines), stroke=colour, stroke_mm=0.6 if full else 0.3)
    return Symbol(name, (shape,) if lines else ())


def floats_symbol(weave: Weave, runs: tuple[Run, ...], sign: int, look: Look, name: str) -> Symbol:
    """The ends of a unit where they pass over picks and rod, in plain weave."""
    return Symbol(name, _floats(weave, runs, sign, look))


@lru_cache(maxsize=1024)
def _floats(weave: Weave, runs: tuple[Run, ...], sign: int, look: Look) -> tuple[DrawnPath, ...]:
    shapes = []
    first = 0
    for run in runs:
        count = len(run.ends)
        if look.style == "full" and count:
            step = (run.end - run.start) / count
            lines: list[Command] = []
            for row, (top, low, is_rod) in enumerate(weave.rows):
                more = 0.3 if is_rod else 0.12 * (low - top)
                for i, end in enumerate(run.ends):
                    if (first + i + row) % 2 == 0:
                        lines += [("M", (sign * end, top - more)), ("L", (sign * end, low + more))]
            thread = thread_colours(look.colours[run.yarn])[0]
            if lines:
                shapes.append(
                    DrawnPath(tuple(lines), stroke=thread, stroke_mm=0.74 * step, detail="fine")
                )
        first += count
    if look.style == "full":
        shapes += _light(weave, runs)
    if look.style != "full":
        half = max((max(abs(run.start), abs(run.end)) for run in runs), default=0.0)
        shapes.append(
            DrawnPath(rectangle(-half, 0, half, weave.height), stroke="#000000", stroke_mm=0.4)
        )
        lines = [
            part
            for top, low, is_rod in weave.rows
            if not is_rod
            for part in (("M", (-half, (top + low) / 2)), ("L", (half, (top + low) / 2)))
        ]
        if lines:
            shapes.append(DrawnPath(tuple(lines), stroke="#000000", stroke_mm=0.25))
    if not shapes:
        shapes.append(DrawnPath((("M", (0, 0)), ("L", (0, 0)))))
    return tuple(shapes)


def _light(weave: Weave, runs: tuple[Run, ...]) -> list[DrawnPath]:
    """The cloth is thick: its upper edge catches the light, its lower edge lies in shade."""
    half, h = max(max(abs(run.start), abs(run.end)) for run in runs), weave.height
    bars = (("#ffffff", 0.0, 0.14, 0.22), (SHADE, 0.7, 1.0, 0.12), (SHADE, 0.86, 1.0, 0.22))
    return [
        DrawnPath(rectangle(-half, a * h, half, b * h), fill=colour, opacity=opacity)
        for colour, a, b, opacity in bars
    ]


def rod_symbol(weave: Weave, length: float, look: Look, name: str) -> tuple[Symbol, Fade | None]:
    """A rod `length` mm long, from the middle of its left end, with its glint."""
    r = weave.rod_mm / 2
    body = rectangle(0, -r, length, r)
    if look.style != "full":
        shape = DrawnPath(body, fill="#ffffff", stroke="#000000", stroke_mm=0.35)
        return Symbol(name, (shape,)), None
    base = rod_colour(weave.material)
    stops = (
        (0.0, lit(base, 0.5), 1.0),
        (0.22, base, 1.0),
        (0.36, "#ffffff" if shines(weave.material) else lit(base, DULL), 1.0),
        (0.5, base, 1.0),
        (0.85, lit(base, 0.3), 1.0),
        (1.0, lit(base, 0.18), 1.0),
    )
    fade = Fade(f"{name}g", (0, -r), (0, r), stops)
    tip = rectangle(0, -r, min(1.2, length / 20), r)
    far = rectangle(length - min(1.2, length / 20), -r, length, r)
    shapes = (
        DrawnPath(rectangle(0, -r + 1.6, length, r + 2.2), fill=SHADE, opacity=0.16),
        DrawnPath(body, fill=f"url(#{fade.name})"),
        DrawnPath(tip, fill=SHADE, opacity=0.35),
        DrawnPath(far, fill=SHADE, opacity=0.35),
    )
    return Symbol(name, shapes), fade

"""What do yarns, bands, rods and walls look like, in each style?

Colours of our own choosing, on a warm grey wall. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from crossfell.draft.model import Draft, UnitKind
from crossfell.drawings.scene import DrawnPath, Hatch, polyline, rectangle
from crossfell.materials.colour import hex_from_linear, linear_from_hex, lit
from crossfell.materials.tables import rod_material

STYLES = ("full", "line", "cartoon")
WALL_TOP, WALL_LOW = "#f1eee8", "#e7e2d9"
INK, QUIET = "#2b2926", "#57524b"
SHADE = "#1d1a17"
THREAD_SHARE = 0.62  # of the distance between ends that a thread covers, as drawn
BETWEEN = 0.5  # light of the dark line between two ends, as a share of the thread's mean
NO_ROD = "#8d9296"  # of a material that is not known: the draft is told so


@dataclass(frozen=True, slots=True)
class Run:
    """Neighbouring ends of one yarn: from, to (mm, from the middle of the unit)."""

    start: float
    end: float
    yarn: str
    ends: tuple[float, ...]  # mm, from the middle of the unit


@lru_cache(maxsize=256)
def runs_of(ends: tuple[tuple[int, str], ...], width_mm: float) -> tuple[Run, ...]:
    """The runs of a unit from left to right, face forward, across its width (mm)."""
    whole = max(1, sum(count for count, _ in ends))
    step = width_mm / whole
    runs, first = [], 0
    for count, yarn in ends:
        at = [-width_mm / 2 + (first + i + 0.5) * step for i in range(count)]
        left = -width_mm / 2 + first * step
        runs.append(Run(left, left + count * step, yarn, tuple(at)))
        first += count
    return tuple(runs)


@dataclass(frozen=True, kw_only=True, eq=False)
class Look:
    """How one piece is painted in one style; the same yarns and style give the same object."""

    style: str
    colours: Mapping[str, str]  # yarn to colour
    fills: Mapping[str, str]  # yarn to fill where single ends are not drawn
    marks: Mapping[str, str]  # yarn to a hatch over that fill
    hatches: tuple[Hatch, ...]

    @property
    def threads(self) -> bool:
        """Whether ends are drawn as ends."""
        return self.style == "full"


def look_of(draft: Draft, style: str) -> Look:
    """The look of a draft; yarns get patterns in the order of the draft in style "line"."""
    if style not in STYLES:
        raise ValueError(f"no such style: {style}")
    return _look(tuple((name, yarn.colour) for name, yarn in draft.yarns.items()), style)


@lru_cache(maxsize=64)
def _look(yarns: tuple[tuple[str, str], ...], style: str) -> Look:
    colours = dict(yarns)
    names = list(colours)
    if style == "full":
        return Look(style=style, colours=colours, fills=colours, marks={}, hatches=())
    if style == "cartoon":
        white = dict.fromkeys(names, "#ffffff")
        return Look(style=style, colours=colours, fills=white, marks={}, hatches=())
    order = {name: i % len(_PATTERNS) for i, name in enumerate(names)}
    marked = {name: i for name, i in order.items() if _PATTERNS[i][1]}
    return Look(
        style=style,
        colours=colours,
        fills={name: _PATTERNS[i][0] for name, i in order.items()},
        marks={name: f"url(#yarn{i})" for name, i in marked.items()},
        hatches=tuple(_hatch(i) for i in sorted(set(marked.values()))),
    )


def wall_colour(look: Look) -> str:
    """What a gap between two ribbons shows."""
    return WALL_LOW if look.style == "full" else "#ffffff"


@lru_cache(maxsize=512)
def thread_colours(colour: str) -> tuple[str, str]:
    """Colour of a thread and of the line between two, whose mean is the yarn's colour.

    Source: mean in linear light, s·thread + (1 - s)·between = colour. Checked: tests/drawings.
    """
    light = linear_from_hex(colour)
    share = THREAD_SHARE
    up = min((1 - (1 - share) * BETWEEN) / share, 1 / max(*light, 1e-6))
    down = (1 - share * up) / (1 - share)
    red, green, blue = light
    return hex_from_linear((red * up, green * up, blue * up)), lit(colour, min(down, 1.0))


def rod_colour(material: str) -> str:
    """Colour of a rod's metal or wood."""
    found = rod_material(material)
    return found.colour if found else NO_ROD


def shines(material: str) -> bool:
    """Whether a rod shines as a metal does."""
    found = rod_material(material)
    return found is not None and found.metal


def kind_runs(draft: Draft, kind: UnitKind) -> tuple[Run, ...]:
    """The runs of a kind of unit."""
    return runs_of(kind.ends, draft.strips[kind.strip].width_mm)


def _stroke(*points: tuple[float, float], width: float = 0.35) -> DrawnPath:
    return DrawnPath(polyline(list(points)), stroke="#000000", stroke_mm=width)


_PATTERNS: tuple[tuple[str, tuple[DrawnPath, ...]], ...] = (
    ("#ffffff", ()),
    ("#4a4a4a", ()),
    ("#ffffff", (_stroke((-1, 1), (1, -1)), _stroke((0, 4), (4, 0)), _stroke((3, 5), (5, 3)))),
    ("#ffffff", (DrawnPath(rectangle(0.4, 0.4, 1.6, 1.6), fill="#000000"),
                 DrawnPath(rectangle(2.4, 2.4, 3.6, 3.6), fill="#000000"))),
    ("#ffffff", (_stroke((0, 1), (4, 1)), _stroke((0, 3), (4, 3)))),
    ("#b0b0b0", ()),
    ("#ffffff", (_stroke((0, 0), (4, 4)), _stroke((0, 4), (4, 0)))),
    ("#4a4a4a", (DrawnPath(rectangle(1, 1, 3, 3), fill="#ffffff"),)),
)  # fmt: skip


def _hatch(index: int) -> Hatch:
    return Hatch(f"yarn{index}", 4.0, _PATTERNS[index][1])

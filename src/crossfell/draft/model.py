"""What does a draft say, once read?

Frozen records, inside units (mm, N, g, tex, rad). Every record that came from text keeps its
`where`; `given` maps each key that she wrote herself to its place in the text, so that a default
can be shown as one. Moves are expanded: figures are laid out, `plait` is written as crossings.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING

from crossfell.base.frame import Frame, at_loom, on_wall
from crossfell.base.notes import NOWHERE, Note, Where
from crossfell.draft.keys import REQUIRED, DraftTable, key
from crossfell.draft.plain import Cross, Move, Roll, Shift, Turn
from crossfell.draft.workshop import Adhesive, Letterhead, Loom, Rates, Stock, Week
from crossfell.materials.counts import YarnCount

if TYPE_CHECKING:
    from crossfell.draft.expand import LaidOut

__all__ = [
    "About",
    "Adhesive",
    "Band",
    "Cross",
    "Draft",
    "DraftTable",
    "Hang",
    "Letterhead",
    "Loom",
    "Move",
    "Rates",
    "Repeat",
    "Rod",
    "Roll",
    "Shift",
    "Span",
    "Stock",
    "Strip",
    "Turn",
    "Unit",
    "UnitKind",
    "Wall",
    "Warp",
    "Week",
    "Woven",
    "Yarn",
]


@dataclass(frozen=True, kw_only=True)
class Wall(DraftTable):
    """The wall that the piece is for."""

    width_mm: float | None = key(None, "length>0", "free width of the wall")
    height_mm: float | None = key(None, "length>0", "free height of the wall")


@dataclass(frozen=True, kw_only=True)
class About(DraftTable):
    """[piece]."""

    title: str = key("Untitled", "text", "title of the piece")
    maker: str = key("", "text", "who makes it")
    client: str = key("", "text", "who it is for")
    client_address: str = key("", "text", "address of the client")
    number: str = key("", "text", "number of the piece or of the edition")
    agreed: float | None = key(
        None, "money", "price agreed with the client, with tax; what is quoted if nothing is said"
    )
    paid: float = key(0.0, "money", "what the client has paid of it")
    promised: str = key("", "day", 'day on which it is promised, as "2031-03-14"')
    woven_from: str = key("bottom", "one-of:bottom|top", "the end of the hung piece woven first")
    wall: Wall | None = key(None, "wall", "the wall: { width = 1100, height = 2600 }")
    paper: str = key("A4", "one-of:A4|Letter", "paper for everything that is printed")


@dataclass(frozen=True, kw_only=True)
class Yarn(DraftTable):
    """[yarn.NAME]."""

    name: str
    count: YarnCount = key(REQUIRED, "yarn-count", 'count: "lea 16/2", "tex 207", "Nm 9.7/2"')
    count_error: float = key(
        0.0, "percent<=5", "how sure a weighed count is: ± as a share; see `crossfell measure hank`"
    )
    fibre: str = key("", "text", "linen, cotton, wool, silk, hemp, …")
    colour: str = key("#8a8172", "colour", "colour, #rrggbb")
    price: float | None = key(
        None, "money-per-kg", 'price: "46.00 per kg", "12 per lb", "0.04 per m", "11.50 per cone"'
    )
    put_up_g: float | None = key(None, "mass", "mass of one cone, ball or hank as sold")
    lot: str = key("", "text", "dye lot")
    diameter_mm: float | None = key(None, "length>0", "measured diameter (1 / wraps per length)")
    pressed_mm: float | None = key(None, "length>0", "measured thickness of the pressed yarn")
    tenacity_n_per_tex: float | None = key(
        None, "number>0", "measured breaking load per tex, N/tex"
    )
    modulus_n_per_tex: float | None = key(None, "number>0", "measured initial modulus, N/tex")
    in_stock_g: float = key(0.0, "mass", "mass in stock")
    reserved_g: float = 0.0  # of it, for other pieces

    @property
    def free_g(self) -> float:
        """Mass in stock that no other piece is waiting for."""
        return max(self.in_stock_g - self.reserved_g, 0.0)


@dataclass(frozen=True, kw_only=True)
class Strip(DraftTable):
    """[strip.NAME]: a piece of rigid heddle that carries one unit."""

    name: str
    width_mm: float = key(REQUIRED, "length>0", "width of the strip")
    dents: int = key(REQUIRED, "count>0", "slots and holes together: one end in each")
    first: str = key("hole", "one-of:hole|slot", "the leftmost dent")
    mass_g: float = key(8.0, "mass", "mass of one strip", source="common practice, no source")


@dataclass(frozen=True, kw_only=True)
class UnitKind(DraftTable):
    """[unit.NAME]."""

    name: str
    strip: str = key(REQUIRED, "text", "name of its strip")
    ends_text: str = key(REQUIRED, "text", 'ends from the left: "9 slate, 9 chalk"')
    ends: tuple[tuple[int, str], ...] = ()  # runs (count, yarn), left to right, face forward

    @property
    def end_count(self) -> int:
        """How many ends it has."""
        return sum(count for count, _ in self.ends)


@dataclass(frozen=True, kw_only=True)
class Unit:
    """One unit of the warp: `a3` is the third of kind `a` from the left."""

    name: str
    kind: str
    number: int  # of its kind, from the left
    place: int  # where it starts, 1 at the weaver's left
    where: Where = NOWHERE


@dataclass(frozen=True, kw_only=True)
class Warp(DraftTable):
    """[warp]."""

    pitch_mm: float = key(REQUIRED, "length>0", "distance between neighbouring places")
    order: str = key(REQUIRED, "text", 'units from the left: "a*6 - b*12"; "-" is an empty place')
    tension_n: float = key(
        0.3,
        "force>0",
        "weaving tension of one end",
        source="common practice, no source (0.2 to 1.0 N)",
    )
    sample_mm: float = key(
        300.0, "length", "warp spent on the sampler band", source="common practice, no source"
    )
    thrum_mm: float = key(
        700.0,
        "length",
        "warp that cannot be woven",
        source="published, one teacher's note: about 27 in",
    )
    finish_mm: float = key(
        100.0, "length", "warp for the finish at each end", source="common practice, no source"
    )
    knots_mm: float = key(
        400.0,
        "length",
        "tie-on and bobbin tail of each end",
        source="common practice, no source: 0.3 to 0.5 m",
    )
    spare: float = key(
        0.05,
        "percent<=200",
        "winding share added to every bobbin",
        source="common practice, no source",
    )
    length_error: float = key(
        0.001,
        "percent<=5",
        "plausible error of a woven length, as a share",
        source="common practice, no source",
    )
    error_of: str = key(
        "each end",
        "one-of:each end|whole unit",
        "whether each end errs by itself, or all ends of a unit alike",
        source="common practice, no source",
    )


@dataclass(frozen=True, kw_only=True)
class Rod:
    """A rod by material and diameter: "steel 3"."""

    material: str
    diameter_mm: float

    @property
    def label(self) -> str:
        """As it is written."""
        return f"{self.material} {self.diameter_mm:g}"


@dataclass(frozen=True, kw_only=True)
class Band(DraftTable):
    """[band], [band.first], [band.last], or `band = {…}` of a span (the band woven after it)."""

    picks: str = key("3, rod, 3", "text", 'picks and rods in the order of weaving: "3, rod, 3"')
    weft: str = key("", "text", "yarn of the weft; the first yarn if nothing is said")
    rod: Rod | None = key(None, "rod", 'material and diameter: "steel 3"')
    rod_cut_mm: float | str = key(
        "alike",
        "length-or>0:alike|each",
        'what its rods are cut to: "alike" (over the outermost units of all such bands, and the '
        'overhang), "each" (over those of its own band), or a length',
    )
    height_mm: float | None = key(None, "length", "height when woven; computed if nothing is said")
    takeup_mm: float | None = key(None, "length", "measured take-up of an end in the band")
    takeup_error_mm: float = key(
        0.0, "length", "how sure the take-up is: ±; see `crossfell measure band`"
    )
    adhesive: bool = key(True, "yes", "whether the band is brushed with thinned adhesive")

    @cached_property
    def runs(self) -> tuple[int | str, ...]:
        """Picks as numbers and "rod" where a rod goes in, in weaving order: (3, "rod", 3)."""
        parts = [part.strip() for part in self.picks.split(",")]
        return tuple("rod" if part == "rod" else int(part) for part in parts if part)

    @cached_property
    def pick_count(self) -> int:
        """How many picks are woven."""
        return sum(run for run in self.runs if isinstance(run, int))

    @cached_property
    def rod_count(self) -> int:
        """How many rods are laid in."""
        return sum(run == "rod" for run in self.runs)


@dataclass(frozen=True, kw_only=True)
class Span(DraftTable):
    """[[span]]: the open warp between two bands, and the band that is woven after it."""

    number: int  # 1 is woven first
    moves: tuple[Move, ...] = ()  # in the order they are made; figures and plaits written out
    woven: tuple[Move, ...] | None = None  # as really made, where that is not as drafted
    height_mm: float = key(REQUIRED, "length>0", "height of the open warp")
    name: str = key("", "text", "a name of your own for the span")
    note: str = key("", "text", "a note that is printed on the span's card")


@dataclass(frozen=True, kw_only=True)
class Repeat(DraftTable):
    """[[repeat]]: the spans above it again, each time mirrored, reversed or further to a side."""

    spans: int = key(REQUIRED, "count>0", "how many of the spans that stand above it")
    times: int = key(REQUIRED, "count>1", "how often they are woven in all")
    each: str = key(
        "", "text", 'what changes each time: "mirrored", "reversed", "right 1 place", or several'
    )


@dataclass(frozen=True, kw_only=True)
class Woven(DraftTable):
    """[woven]: how far the piece is; what was made otherwise stands in `woven` of its span."""

    spans: int = key(0, "count", "how many spans are done, with the bands after them")


@dataclass(frozen=True, kw_only=True)
class Hang(DraftTable):
    """[hang]."""

    cords: tuple[float, ...] | str = key(
        "least bending",
        "lengths-or:least bending",
        'cords from the left end of the top rod, or "least bending"',
    )
    cord_length_mm: float = key(
        400.0, "length>0", "length of each cord", source="common practice, no source"
    )
    points: tuple[float, ...] = key(
        (),
        "lengths",
        "wall points, from the left end of the rod; above the cords if nothing is said",
    )
    rail: bool = key(default=False, kind="yes", says="top rod held by a fixed rail, not by cords")
    cord_stiffness_n: float = key(
        20000.0, "force>0", "EA of one cord", source="common practice, no source"
    )
    as_drawn_mm: float = key(
        2.0,
        "length",
        "no end of a rod farther aside (nor than a tenth of the pitch): it hangs as drawn",
        source="common practice, no source",
    )
    moves_mm: float = key(
        5.0,
        "length",
        "an end of a rod farther aside: the piece moves; less: it settles",
        source="common practice, no source",
    )
    turns_over_rad: float = key(
        math.radians(5),
        "angle>0<=90",
        "a rod that tilts more: the piece turns over",
        source="common practice, no source",
    )
    friction: float = key(
        0.3,
        "number<=2",
        "friction of yarn on yarn, where units cross",
        source="0.12 to 0.5 for staple and filament yarns (lecture notes after Morton & Hearle); "
        "measure yours",
    )
    bows_mm: float = key(
        3.0,
        "length>0",
        "a slack unit that bows more is seen, and is called slack",
        source="common practice, no source",
    )
    lamp: tuple[float, ...] = key(
        (),
        "lengths",
        "lamp: distance from the wall, height above the "
        "floor, distance to the right of the piece's middle, diameter",
    )
    off_wall_mm: float = key(
        60.0, "length", "distance of the piece from the wall", source="common practice, no source"
    )
    above_floor_mm: float = key(
        300.0,
        "length",
        "height of the lowest rod above the floor",
        source="common practice, no source",
    )


@dataclass(frozen=True, kw_only=True)
class Draft:
    """A whole piece as its maker wrote it.

    `notes` holds what the reader found wrong; a draft with errors is still as complete as can be.
    """

    text: str = ""
    file: str = ""
    measure: str = "mm"
    about: About = About()
    yarns: Mapping[str, Yarn] = field(default_factory=lambda: MappingProxyType({}))
    strips: Mapping[str, Strip] = field(default_factory=lambda: MappingProxyType({}))
    kinds: Mapping[str, UnitKind] = field(default_factory=lambda: MappingProxyType({}))
    warp: Warp | None = None
    units: tuple[Unit, ...] = ()
    place_count: int = 0
    bands: tuple[Band, ...] = ()  # one more than spans, in weaving order
    spans: tuple[Span, ...] = ()
    woven: Woven = Woven()
    hang: Hang = Hang()
    loom: Loom = Loom()
    adhesive: Adhesive = Adhesive()
    stock: Stock = Stock()
    rates: Rates = Rates()
    week: Week = Week()
    letterhead: Letterhead = Letterhead()
    minutes: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    workshop_text: str = ""
    workshop_file: str = ""
    notes: tuple[Note, ...] = ()
    laid_out: LaidOut | None = field(default=None, compare=False, repr=False)  # for the next edit

    def text_of(self, file: str) -> str:
        """The text that a note of this file points into."""
        return self.workshop_text if file and file == self.workshop_file else self.text

    def at_loom(self, *, behind: bool = False) -> Frame:
        """What who stands in front of the loom sees, or behind it."""
        return at_loom(self.place_count, behind=behind)

    def on_wall(self, *, behind: bool = False) -> Frame:
        """What who looks at the hung piece sees, from the front or from behind."""
        return on_wall(self.place_count, self.about.woven_from, behind=behind)

    @property
    def pitch_mm(self) -> float:
        """Distance between places."""
        return self.warp.pitch_mm if self.warp else 0.0

    @property
    def strip_of(self) -> tuple[Strip, ...]:
        """The strip of each unit, in the order of `units`."""
        return tuple(self.strips[self.kinds[unit.kind].strip] for unit in self.units)

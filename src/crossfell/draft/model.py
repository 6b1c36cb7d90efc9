"""What does a draft say, once read?

Frozen records, inside units (mm, N, g, tex, rad). Every record that came from text keeps its
`where`; `given` maps each key that she wrote herself to its place in the text, so that a default
can be shown as one. Moves are expanded: figures are laid out, `plait` is written as crossings.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from crossfell.base.notes import NOWHERE, Note, Where
from crossfell.draft.keys import REQUIRED, key
from crossfell.materials.counts import YarnCount

_NOTHING: Mapping[str, Where] = MappingProxyType({})


@dataclass(frozen=True, kw_only=True)
class Table:
    """What every table of the draft keeps beside its keys."""

    where: Where = NOWHERE
    given: Mapping[str, Where] = field(default_factory=lambda: _NOTHING)


@dataclass(frozen=True, kw_only=True)
class Wall(Table):
    """The wall that the piece is for."""

    width_mm: float | None = key(None, "length>0", "free width of the wall")
    height_mm: float | None = key(None, "length>0", "free height of the wall")


@dataclass(frozen=True, kw_only=True)
class About(Table):
    """[piece]."""

    title: str = key("Untitled", "text", "title of the piece")
    maker: str = key("", "text", "who makes it")
    client: str = key("", "text", "who it is for")
    number: str = key("", "text", "number of the piece or of the edition")
    woven_from: str = key("bottom", "one-of:bottom|top", "the end of the hung piece woven first")
    wall: Wall | None = key(None, "wall", "the wall: { width = 1100, height = 2600 }")
    paper: str = key("A4", "one-of:A4|Letter", "paper for everything that is printed")


@dataclass(frozen=True, kw_only=True)
class Yarn(Table):
    """[yarn.NAME]."""

    name: str
    count: YarnCount = key(REQUIRED, "yarn-count", 'count: "lea 16/2", "tex 207", "Nm 9.7/2"')
    fibre: str = key("", "text", "linen, cotton, wool, silk, hemp, …")
    colour: str = key("#8a8172", "colour", "colour, #rrggbb")
    price: float | None = key(None, "money-per-kg", 'price: "46.00 per kg"')
    put_up_g: float | None = key(None, "mass", "mass of one cone, ball or hank as sold")
    lot: str = key("", "text", "dye lot")
    diameter_mm: float | None = key(None, "length", "measured diameter (1 / wraps per length)")
    pressed_mm: float | None = key(None, "length", "measured thickness of the pressed yarn")
    tenacity_n_per_tex: float | None = key(None, "number", "measured breaking load per tex, N/tex")
    modulus_n_per_tex: float | None = key(None, "number", "measured initial modulus, N/tex")
    in_stock_g: float = key(0.0, "mass", "mass in stock")


@dataclass(frozen=True, kw_only=True)
class Strip(Table):
    """[strip.NAME]: a piece of rigid heddle that carries one unit."""

    name: str
    width_mm: float = key(REQUIRED, "length>0", "width of the strip")
    dents: int = key(REQUIRED, "count>0", "slots and holes together: one end in each")
    first: str = key("hole", "one-of:hole|slot", "the leftmost dent")
    mass_g: float = key(8.0, "mass", "mass of one strip", source="common practice, no source")


@dataclass(frozen=True, kw_only=True)
class UnitKind(Table):
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
    place: int  # where it starts, 1 at the weaver's left
    where: Where = NOWHERE


@dataclass(frozen=True, kw_only=True)
class Warp(Table):
    """[warp]."""

    pitch_mm: float = key(REQUIRED, "length>0", "distance between neighbouring places")
    order: str = key(REQUIRED, "text", 'units from the left: "a*6 - b*12"; "-" is an empty place')
    tension_n: float = key(
        0.3,
        "force",
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
        0.05, "percent", "winding share added to every bobbin", source="common practice, no source"
    )
    length_error: float = key(
        0.001,
        "percent",
        "plausible error of a woven length, as a share",
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
class Band(Table):
    """[band], [band.first], [band.last], or `band = {…}` of a span (the band woven after it)."""

    picks: str = key("3, rod, 3", "text", 'picks and rods in the order of weaving: "3, rod, 3"')
    weft: str = key("", "text", "yarn of the weft; the first yarn if nothing is said")
    rod: Rod | None = key(None, "rod", 'material and diameter: "steel 3"')
    height_mm: float | None = key(None, "length", "height when woven; computed if nothing is said")
    takeup_mm: float | None = key(None, "length", "measured take-up of an end in the band")
    adhesive: bool = key(True, "yes", "whether the band is brushed with thinned adhesive")

    @property
    def runs(self) -> tuple[int | str, ...]:
        """Picks as numbers and "rod" where a rod goes in, in weaving order: (3, "rod", 3)."""
        parts = [part.strip() for part in self.picks.split(",")]
        return tuple("rod" if part == "rod" else int(part) for part in parts if part)

    @property
    def pick_count(self) -> int:
        """How many picks are woven."""
        return sum(run for run in self.runs if isinstance(run, int))

    @property
    def rod_count(self) -> int:
        """How many rods are laid in."""
        return sum(run == "rod" for run in self.runs)


@dataclass(frozen=True, kw_only=True)
class Cross:
    """Block [first, middle) and block [middle, last] of places change sides.

    `left_over` says that the block on the left passes over the one on the right.
    """

    first: int
    middle: int  # first place of the right-hand block
    last: int
    left_over: bool
    where: Where = NOWHERE
    figure: str = ""  # name of the figure that it came from


@dataclass(frozen=True, kw_only=True)
class Turn:
    """Half turns of each unit in places first to last; right is +1, left is -1 for each."""

    first: int
    last: int
    half_turns: int
    where: Where = NOWHERE
    figure: str = ""


@dataclass(frozen=True, kw_only=True)
class Roll:
    """The block first to last turned over as one; right is +1, left is -1 for each half turn."""

    first: int
    last: int
    half_turns: int
    where: Where = NOWHERE
    figure: str = ""


@dataclass(frozen=True, kw_only=True)
class Shift:
    """Units in places first to last move sideways, right positive, by places and by a length."""

    first: int
    last: int
    places: int = 0
    length_mm: float = 0.0
    where: Where = NOWHERE
    figure: str = ""


Move = Cross | Turn | Roll | Shift


@dataclass(frozen=True, kw_only=True)
class Span(Table):
    """[[span]]: the open warp between two bands, and the band that is woven after it."""

    number: int  # 1 is woven first
    moves: tuple[Move, ...] = ()  # in the order they are made; figures and plaits written out
    woven: tuple[Move, ...] | None = None  # as really made, where that is not as drafted
    height_mm: float = key(REQUIRED, "length>0", "height of the open warp")
    name: str = key("", "text", "a name of your own for the span")
    note: str = key("", "text", "a note that is printed on the span's card")


@dataclass(frozen=True, kw_only=True)
class Woven(Table):
    """[woven]: how far the piece is; what was made otherwise stands in `woven` of its span."""

    spans: int = key(0, "count", "how many spans are done, with the bands after them")


@dataclass(frozen=True, kw_only=True)
class Hang(Table):
    """[hang]."""

    cords: tuple[float, ...] | str = key(
        "least bending",
        "lengths-or:least bending",
        'cords from the left end of the top rod, or "least bending"',
    )
    cord_length_mm: float = key(
        400.0, "length", "length of each cord", source="common practice, no source"
    )
    points: tuple[float, ...] = key(
        (),
        "lengths",
        "wall points, from the left end of the rod; above the cords if nothing is said",
    )
    rail: bool = key(default=False, kind="yes", says="top rod held by a fixed rail, not by cords")
    cord_stiffness_n: float = key(
        20000.0, "force", "EA of one cord", source="common practice, no source"
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
class Loom(Table):
    """[loom]: the maker's loom, usually in workshop.toml."""

    hand: int = key(
        4,
        "count>0",
        "neighbouring strips that one hand lifts at once",
        source="common practice, no source",
    )
    lay_aside: bool = key(default=True, kind="yes", says="lifted strips can be laid aside")
    fell_to_heddle_mm: float = key(
        150.0, "length", "fell to heddle", source="common practice, no source: 100 to 150 mm"
    )
    heddle_to_back_mm: float = key(
        600.0, "length", "heddle to back beam", source="common practice, no source: 400 to 700 mm"
    )
    back_to_weight_mm: float = key(
        1200.0,
        "length",
        "back beam down to the weight, when hung",
        source="common practice, no source",
    )
    wrap_rad: float = key(1.5707963267948966, "angle", "angle of the warp round the back beam")
    friction: float = key(
        0.25,
        "number",
        "yarn on the back beam",
        source="from memory: linen or cotton on smooth steel 0.20 to 0.30",
    )
    howell_a: float | None = key(None, "number", "measured a of Howell's F = a N^n (N in newton)")
    howell_power: float | None = key(None, "number", "measured n of Howell's F = a N^n")
    beam_radius_mm: float = key(
        20.0, "length", "radius of the back beam", source="common practice, no source"
    )
    rise_mm: float = key(
        30.0,
        "length",
        "rise of the holes above level (up shed)",
        source="common practice, no source: 25 to 45 mm",
    )
    sink_mm: float = key(
        30.0,
        "length",
        "drop of the holes below level (down shed)",
        source="common practice, no source",
    )
    shuttle_mm: float = key(
        8.0,
        "length",
        "height of the shuttle",
        source="common practice, no source: stick shuttle 6 to 10 mm",
    )
    shuttle_at_mm: float = key(
        60.0,
        "length",
        "where the shuttle passes, from the fell",
        source="common practice, no source",
    )
    batten_g: float = key(
        1500.0,
        "mass",
        "moving mass of the batten without strips",
        source="common practice, no source",
    )
    spring_n_per_mm: float = key(
        0.6,
        "number",
        "stiffness of the batten springs together, N/mm",
        source="common practice, no source",
    )
    opening_mm: float = key(
        40.0, "length", "clearance of the opened batten", source="common practice, no source"
    )
    clamp_mm: float = key(
        12.0, "length", "greatest thickness under the clamp", source="common practice, no source"
    )
    drop_mm: float = key(
        900.0,
        "length",
        "travel of a weight from re-hang to let-off",
        source="common practice, no source",
    )
    bobbin_g: float = key(
        40.0, "mass", "mass of one empty bobbin", source="common practice, no source"
    )
    bobbin_holds_cm3: float = key(
        120.0, "number", "yarn that a bobbin holds, cm³", source="common practice, no source"
    )
    weights: tuple[tuple[float, int], ...] = key(
        (), "weights", 'weights she owns: ["250 g * 30"]; any size if nothing is said'
    )
    lean_limit_rad: float = key(
        0.6108652381980153,
        "angle",
        "greatest lean of an open unit",
        source="common practice, no source: 35 degrees",
    )
    alike: float = key(
        0.05, "percent", "waste allowed to wind bobbins alike", source="common practice, no source"
    )


@dataclass(frozen=True, kw_only=True)
class Adhesive(Table):
    """[adhesive]."""

    name: str = key("PVA dispersion", "text", "what it is")
    parts: float = key(1.0, "number", "parts of adhesive by volume", source="common practice")
    water: float = key(1.0, "number", "parts of water by volume", source="common practice")
    uptake: float = key(
        0.75,
        "number",
        "thinned liquid taken up, as a share of the yarn's mass",
        source="common practice, no source: 0.5 to 1",
    )
    density: float = key(
        1.05, "number", "density of the thinned liquid, g/cm³", source="common practice, no source"
    )
    solids: float = key(0.25, "percent", "solids of the thinned liquid", source="from memory")
    touch_dry_min: float = key(40.0, "minutes", "touch dry", source="common practice: 20 to 60 min")
    handle_min: float = key(
        180.0, "minutes", "may be handled and unclamped", source="common practice: 2 to 4 h"
    )
    full_min: float = key(2880.0, "minutes", "full strength", source="common practice: 24 to 72 h")
    price: float | None = key(None, "money", "price of one litre")


@dataclass(frozen=True, kw_only=True)
class Stock(Table):
    """[stock]: rods and heddle to be cut from."""

    rod_length_mm: float = key(
        2000.0, "length", "length of a rod as sold", source="common practice: 1, 2 or 3 m"
    )
    heddle_length_mm: float = key(
        600.0, "length", "width of a rigid heddle as sold", source="common practice, no source"
    )
    kerf_mm: float = key(1.5, "length", "width of a cut", source="common practice: 1 to 2 mm")
    overhang_mm: float = key(
        15.0,
        "length",
        "rod beyond the outermost units, at each side",
        source="common practice, no source",
    )
    rods: tuple[str, ...] = key((), "texts", 'in stock: ["steel 3: 2000 * 4", "steel 6: 740 * 1"]')
    heddles: tuple[float, ...] = key((), "lengths", "pieces of heddle in stock")
    rod_price: tuple[str, ...] = key((), "texts", 'price of a whole rod: ["steel 3: 6.40"]')
    heddle_price: float | None = key(None, "money", "price of a whole heddle")
    spare_units: int = key(0, "count", "spare bobbins and strips")
    spare_rods: int = key(0, "count", "spare rods of each kind")
    keep_mm: float = key(
        100.0, "length", "shortest off-cut worth keeping", source="common practice, no source"
    )


@dataclass(frozen=True, kw_only=True)
class Rates(Table):
    """[rates]: what an hour and the rest cost."""

    currency: str = key("EUR", "text", "currency")
    minor: int = key(2, "count", "decimals of the currency")
    rounding: str = key("half up", "one-of:half up|half even", "how a line is rounded")
    hour: float = key(30.0, "money", "one hour of work", source="invented; set your own")
    waste: float = key(0.05, "percent", "waste on materials", source="common practice, no source")
    overhead: float = key(
        0.15, "percent", "overhead on materials and work", source="common practice, no source"
    )
    profit: float = key(
        0.10,
        "percent",
        "profit, on cost (markup) or on price (margin)",
        source="common practice, no source",
    )
    profit_on: str = key("cost", "one-of:cost|price", "cost: a markup; price: a margin")
    tax: float = key(0.0, "percent", "tax on the net price")
    delivery: float = key(0.0, "money", "delivery, net")
    installation: float = key(0.0, "money", "installation, net")
    deposit: float = key(0.4, "percent", "deposit", source="common practice: 30 to 50 %")
    valid_days: int = key(60, "count", "days that a quote is valid", source="common practice")
    learning: float = key(
        1.0,
        "number",
        "learning rate of repeated units: 0.9 is 90 %",
        source="from memory: 85 to 95 % for handwork; 1 is none",
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
    minutes: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    workshop_text: str = ""
    workshop_file: str = ""
    notes: tuple[Note, ...] = ()

    def text_of(self, file: str) -> str:
        """The text that a note of this file points into."""
        return self.workshop_text if file and file == self.workshop_file else self.text

    @property
    def pitch_mm(self) -> float:
        """Distance between places."""
        return self.warp.pitch_mm if self.warp else 0.0

    @property
    def strip_of(self) -> tuple[Strip, ...]:
        """The strip of each unit, in the order of `units`."""
        return tuple(self.strips[self.kinds[unit.kind].strip] for unit in self.units)

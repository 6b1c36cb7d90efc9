"""What does the maker own and charge: loom, adhesive, stock and rates?

These tables usually stand in workshop.toml, shared by all her pieces. Defaults are told with where
they come from; what she measured herself wins.
"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.draft.keys import DraftTable, key
from crossfell.draft.stock_items import Reserved


@dataclass(frozen=True, kw_only=True)
class Loom(DraftTable):
    """[loom]: the maker's loom, usually in workshop.toml."""

    hand: int = key(
        4,
        "count>0",
        "neighbouring strips that one hand lifts at once",
        source="common practice, no source",
    )
    lay_aside: bool = key(default=True, kind="yes", says="lifted strips can hang aside")
    loose: int = key(
        6,
        "count>0",
        "strips out of the row at once that stay in order; written here it is never passed",
        source="from memory: what the mind holds at once, 7 ± 2 (Miller 1956), with a margin",
    )
    fell_to_heddle_mm: float = key(
        150.0, "length>0", "fell to heddle", source="common practice, no source: 100 to 150 mm"
    )
    heddle_to_back_mm: float = key(
        600.0, "length>0", "heddle to back beam", source="common practice, no source: 400 to 700 mm"
    )
    back_to_weight_mm: float = key(
        1200.0,
        "length>0",
        "back beam down to the weight, when hung",
        source="common practice, no source",
    )
    wrap_rad: float = key(
        1.5707963267948966, "angle<=1080", "angle of the warp round the back beam"
    )
    friction: float = key(
        0.25,
        "number<=2",
        "yarn on the back beam",
        source="from memory: linen or cotton on smooth steel 0.20 to 0.30",
    )
    howell_a: float | None = key(None, "number>0", "measured a of Howell's F = a N^n (N in newton)")
    howell_power: float | None = key(None, "number>0", "measured n of Howell's F = a N^n")
    beam_radius_mm: float = key(
        20.0, "length>0", "radius of the back beam", source="common practice, no source"
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
        "length>0",
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
        "number>0",
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
        "length>0",
        "travel of a weight from re-hang to let-off",
        source="common practice, no source",
    )
    bobbin_g: float = key(
        40.0, "mass", "mass of one empty bobbin", source="common practice, no source"
    )
    bobbin_holds_cm3: float = key(
        120.0, "number>0", "yarn that a bobbin holds, cm³", source="common practice, no source"
    )
    weights: tuple[tuple[float, int], ...] = key(
        (), "weights", 'weights she owns: ["250 g * 30"]; any size if nothing is said'
    )
    lean_limit_rad: float = key(
        0.6108652381980153,
        "angle>0<=85",
        "greatest lean of an open unit",
        source="common practice, no source: 35 degrees",
    )
    alike: float = key(
        0.05,
        "percent<=100",
        "waste allowed to wind bobbins alike",
        source="common practice, no source",
    )


@dataclass(frozen=True, kw_only=True)
class Adhesive(DraftTable):
    """[adhesive]."""

    name: str = key("PVA dispersion", "text", "what it is")
    parts: float = key(1.0, "number>0", "parts of adhesive by volume", source="common practice")
    water: float = key(1.0, "number", "parts of water by volume", source="common practice")
    uptake: float = key(
        0.75,
        "number",
        "thinned liquid taken up, as a share of the yarn's mass",
        source="common practice, no source: 0.5 to 1",
    )
    density: float = key(
        1.05,
        "number>0",
        "density of the thinned liquid, g/cm³",
        source="common practice, no source",
    )
    solids: float = key(0.25, "percent<=100", "solids of the thinned liquid", source="from memory")
    touch_dry_min: float = key(40.0, "minutes", "touch dry", source="common practice: 20 to 60 min")
    handle_min: float = key(
        180.0, "minutes", "may be handled and unclamped", source="common practice: 2 to 4 h"
    )
    full_min: float = key(2880.0, "minutes", "full strength", source="common practice: 24 to 72 h")
    price: float | None = key(None, "money", "price of one litre")


@dataclass(frozen=True, kw_only=True)
class Stock(DraftTable):
    """[stock]: rods and heddle to be cut from."""

    rod_length_mm: float = key(
        2000.0, "length>1", "length of a rod as sold", source="common practice: 1, 2 or 3 m"
    )
    heddle_length_mm: float = key(
        600.0, "length>1", "width of a rigid heddle as sold", source="common practice, no source"
    )
    kerf_mm: float = key(1.5, "length", "width of a cut", source="common practice: 1 to 2 mm")
    overhang_mm: float = key(
        15.0,
        "length",
        "rod beyond the outermost units, at each side",
        source="common practice, no source",
    )
    rods: tuple[str, ...] = key(
        (), "stock-rods", 'in stock: ["steel 3: 2000 * 4", "steel 6: 740 * 1"]'
    )
    heddles: tuple[float, ...] = key((), "lengths", "pieces of heddle in stock")
    reserved: tuple[Reserved, ...] = key(
        (), "reserved", 'kept for a piece, by its file: ["tideline: yarn slate 320 g"]'
    )
    taken: tuple[str, ...] = key((), "texts", "pieces whose material was taken out, by their files")
    rod_price: tuple[str, ...] = key((), "texts", 'price of a whole rod: ["steel 3: 6.40"]')
    heddle_price: float | None = key(None, "money", "price of a whole heddle")
    spare_units: int = key(0, "count", "spare bobbins and strips")
    spare_rods: int = key(0, "count", "spare rods of each kind")
    keep_mm: float = key(
        100.0, "length", "shortest off-cut worth keeping", source="common practice, no source"
    )


@dataclass(frozen=True, kw_only=True)
class Rates(DraftTable):
    """[rates]: what an hour and the rest cost."""

    currency: str = key("EUR", "text", "currency")
    minor: int = key(2, "count<=4", "decimals; those of ISO 4217 if nothing is said")
    rounding: str = key("half up", "one-of:half up|half even", "how a line is rounded")
    hour: float = key(30.0, "money", "one hour of work", source="invented; set your own")
    charge: str = key(
        "bought and own",
        "one-of:bought and own|used|bought",
        "materials: what is bought with what is taken from stock, only what is used, "
        "or only what is bought",
    )
    heddle_wear: float = key(
        1.0,
        "percent<=100:rate",
        "share of a heddle's price that is charged; it can be used again",
        source="common practice, no source",
    )
    waste: float = key(
        0.05, "percent<=100", "waste on materials", source="common practice, no source"
    )
    overhead: float = key(
        0.15,
        "percent<=300",
        "overhead on materials and work",
        source="common practice, no source",
    )
    profit: float = key(
        0.10,
        "percent<=500",
        "profit, on cost (markup) or on price (margin)",
        source="common practice, no source",
    )
    profit_on: str = key("cost", "one-of:cost|price", "cost: a markup; price: a margin")
    tax: float = key(0.0, "percent<=100", "tax on the net price")
    discount: float = key(0.0, "percent<=100", "discount on all that is charged, before tax")
    step: float = key(0.0, "money", "the price is rounded to whole ones of this: 1, 5, 10, 0.05")
    step_of: str = key("total", "one-of:total|net", "which price is rounded: with tax, or net")
    delivery: float = key(0.0, "money", "delivery, net")
    installation: float = key(0.0, "money", "installation, net")
    deposit: float = key(0.4, "percent<=100", "deposit", source="common practice: 30 to 50 %")
    valid_days: int = key(60, "count<=3660", "days that a quote is valid", source="common practice")
    learning: float = key(
        1.0,
        "percent>50<=100:rate",
        "learning rate of repeated pieces: each doubling takes so much of the time",
        source="from memory: 85 to 95 % for handwork; 1 is none",
    )


@dataclass(frozen=True, kw_only=True)
class Week(DraftTable):
    """[week]: on which days she works; how long stands as `day` in [minutes]."""

    days: tuple[int, ...] = key(
        (0, 1, 2, 3, 4),
        "weekdays",
        'days of work: "mon tue wed thu fri"',
        source="common practice, no source",
    )
    off: tuple[tuple[str, str], ...] = key(
        (), "days", 'days off: ["2031-02-10", "2031-07-01 to 2031-07-14"]'
    )


@dataclass(frozen=True, kw_only=True)
class Letterhead(DraftTable):
    """[letterhead]: what stands on the papers for clients."""

    name: str = key("", "text", "name of the workshop; the maker's if nothing is said")
    address: str = key("", "text", "address")
    tax_number: str = key("", "text", "tax number")
    bank: str = key("", "text", "bank and account")

"""What is needed of yarn, rods, strips, weights and adhesive, and what is to buy?"""

from __future__ import annotations

import math

from crossfell.draft.model import Yarn
from crossfell.facts.declare import (
    AS_WRITTEN,
    MONEY,
    Answer,
    Inputs,
    Put,
    each,
    fact,
    level,
    of,
    other,
)
from crossfell.facts.of_units import longest_mm
from crossfell.materials.tables import rod_material
from crossfell.paths.stage import weft_diameter_mm, weft_name
from crossfell.piece import Piece
from crossfell.plan.stock import RodNeed, StripNeed, YarnNeed, rod_price

level("stock", whom="shop", says="what to buy and cut")
level("stock.yarn", whom="shop", says="yarns", size=lambda p: len(p.amounts.yarns),
      label=lambda p, y: p.amounts.yarns[y].yarn)  # fmt: skip
level("stock.rods", whom="shop", says="rods", size=lambda p: len(p.amounts.rods),
      label=lambda p, r: p.amounts.rods[r].rod.label)  # fmt: skip
level("stock.strips", whom="shop", says="strips of heddle", size=lambda p: len(p.amounts.strips),
      label=lambda p, s: p.amounts.strips[s].strip)  # fmt: skip
level("stock.weights", whom="shop", says="weights that hang", size=lambda p: len(_weights(p)),
      label=lambda _, w: str(w + 1))  # fmt: skip
level("stock.adhesive", whom="shop", says="thinned adhesive for all bands")
OPEN = "in the currency of the draft; null while a price is open"


def _need(piece: Piece, y: int) -> tuple[YarnNeed, Yarn]:
    need = piece.amounts.yarns[y]
    return need, piece.draft.yarns[need.yarn]


def _ends_of(piece: Piece, name: str) -> Inputs:
    """Ends of a yarn on each bobbin."""
    counts = [
        sum(count for yarn, count, _ in wound.by_yarn if yarn == name)
        for wound in piece.amounts.windings
    ]
    return {"ends": Put(counts, labels=piece.order.names)}


def _tex(piece: Piece, y: int) -> Inputs:
    return other(piece, "yarns.*.tex", list(piece.draft.yarns).index(_need(piece, y)[0].yarn))


def _wound_to(piece: Piece) -> Inputs:
    """The length to which each bobbin is wound."""
    length = {u: group.length_mm for group in piece.winding.groups for u in group.units}
    ways = {u: f"winding.groups.{g.number}.length" for g in piece.winding.groups for u in g.units}
    units = range(len(length))
    values = [length[u] for u in units]
    names = piece.order.names
    return {"wound_to": Put(values, "mm", ways=tuple(ways[u] for u in units), labels=names)}


@fact("stock.yarn.*.name", form="string")
def yarn_name(piece: Piece, y: int) -> Answer:
    """Its name."""
    return Answer(_need(piece, y)[0].yarn)


@fact(
    "stock.yarn.*.warp",
    "g",
    formula="sum(ends * wound_to) * tex / 1e6",
    source="definition of tex, ISO 1144",
)
def warp(piece: Piece, y: int) -> Answer:
    """Mass of this yarn on all bobbins, each wound to the length of its group."""
    need = _need(piece, y)[0]
    return Answer(
        need.warp_g, lambda: _ends_of(piece, need.yarn) | _wound_to(piece) | _tex(piece, y)
    )


@fact(
    "stock.yarn.*.weft",
    "g",
    formula="sum(weft_length) * tex / 1e6",
    source="definition of tex, ISO 1144",
)
def weft(piece: Piece, y: int) -> Answer:
    """Mass of this yarn in the picks of all bands."""
    need, draft = _need(piece, y)[0], piece.draft
    mine = [b for b, band in enumerate(draft.bands) if weft_name(draft, band) == need.yarn]
    return Answer(
        need.weft_g, lambda: each(piece, "bands.*.weft_length", only=mine) | _tex(piece, y)
    )


@fact(
    "stock.yarn.*.need",
    "g",
    formula="(warp + weft) * (1 + waste)",
    source="common practice, no source",
    says="You need {value} of {name}: {warp} on the bobbins, {weft} as weft, {waste} for waste.",
)
def needed(piece: Piece, y: int) -> Answer:
    """Warp and weft, with waste."""
    return Answer(
        _need(piece, y)[0].need_g,
        lambda: (
            other(piece, "stock.yarn.*.warp stock.yarn.*.weft", y) | of(piece.draft.rates, "waste")
        ),
    )


@fact(
    "stock.yarn.*.need_error",
    "g",
    formula="sqrt((need * count_error) ** 2 + (sum(ends) * per_mm * takeup_error) ** 2"
    " + sum((ends * per_mm * span_error) ** 2))",
    source="JCGM 100 (GUM), 5.1.2 and 5.2.2: root of the sum of squares; what is alike adds up",
)
def need_error(piece: Piece, y: int) -> Answer:
    """How sure the need is, ±: by its count, by take-up, by the lengths of the units."""
    need, yarn = _need(piece, y)
    return Answer(
        piece.sure.yarn_g[need.yarn],
        lambda: (
            other(piece, "stock.yarn.*.need", y)
            | of(yarn, "count_error")
            | _ends_of(piece, need.yarn)
            | _errors(piece, yarn)
        ),
    )


def _errors(piece: Piece, yarn: Yarn) -> Inputs:
    """Grams of one end per mm, with waste; and how sure the length of each bobbin's ends is."""
    draft = piece.draft
    warp = draft.warp
    assert warp  # a computable draft has one
    spans = [
        math.sqrt(math.fsum((mm * warp.length_error) ** 2 for mm in longest_mm(piece, u)))
        for u in range(len(draft.units))
    ]
    alike = sum(band.takeup_error_mm for band in draft.bands if band.takeup_mm is not None)
    per_mm = yarn.count.tex * 1e-6 * (1 + draft.rates.waste)
    more = 1 + warp.spare
    return {
        "per_mm": Put(per_mm, "g"),
        "takeup_error": Put(alike * more, "mm"),
        "span_error": Put([mm * more for mm in spans], "mm", labels=piece.order.names),
    }


@fact("stock.yarn.*.in_stock", "g", formula="max(in_stock - reserved, 0)",
      source="the draft or the workshop")  # fmt: skip
def in_stock(piece: Piece, y: int) -> Answer:
    """What she has, without what is reserved for other pieces."""
    need, yarn = _need(piece, y)
    return Answer(need.in_stock_g, lambda: of(yarn, "in_stock_g") | of(yarn, "reserved_g"))


def _short(piece: Piece, y: int) -> Inputs:
    return other(piece, "stock.yarn.*.need stock.yarn.*.in_stock", y) | of(
        _need(piece, y)[1], "put_up_g"
    )


@fact(
    "stock.yarn.*.buy",
    "g",
    formula={"packs": "put_ups * put_up", "loose": "max(need - in_stock, 0)"},
)
def buy(piece: Piece, y: int) -> Answer:
    """What is short, in whole put-ups where it is known how it is sold."""
    need, yarn = _need(piece, y)
    return Answer(
        need.buy_g,
        lambda: _short(piece, y) | other(piece, "stock.yarn.*.put_ups", y),
        "packs" if yarn.put_up_g else "loose",
    )


@fact(
    "stock.yarn.*.put_ups",
    form="integer?",
    formula="ceil(max(need - in_stock, 0) / put_up)",
    says="Buy {value} of {name} at {put_up} each: {need} are needed, {in_stock} are there.",
)
def put_ups(piece: Piece, y: int) -> Answer:
    """How many cones, balls or hanks to buy; null when the draft does not say how it is sold."""
    return Answer(_need(piece, y)[0].put_ups, lambda: _short(piece, y))


_PRICE = {"": "price * buy / 1000", "nothing to buy": "0"}


@fact("stock.yarn.*.price", MONEY, form="number>=0?", formula=_PRICE, source="the draft")
def yarn_price(piece: Piece, y: int) -> Answer:
    """Price of what is to buy, by the kilogramme; null while it is open."""
    need, yarn = _need(piece, y)
    return Answer(
        need.price,
        lambda: other(piece, "stock.yarn.*.buy", y) | of(yarn, "price"),
        "" if need.buy_g else "nothing to buy",
    )


def _rod(piece: Piece, r: int) -> RodNeed:
    return piece.amounts.rods[r]


def _cut(piece: Piece, r: int) -> Inputs:
    return other(piece, "stock.rods.*.pieces", r) | of(
        piece.draft.stock, "rod_length_mm kerf_mm rods"
    )


@fact("stock.rods.*.name", form="string")
def rod_name(piece: Piece, r: int) -> Answer:
    """Material and diameter."""
    return Answer(_rod(piece, r).rod.label)


@fact(
    "stock.rods.*.pieces",
    "mm",
    form="[number>=0]",
    holds="one for each rod of this kind in the bands, and the spares; each from the outermost "
    "edge of a unit at any band that it serves to the other, and the overhang, or as `rod_cut` "
    "says",
    source="overhang: common practice, no source",
)
def pieces(piece: Piece, r: int) -> Answer:
    """Length of each rod: over the outermost units that it serves, and the overhang."""
    rod = _rod(piece, r)
    bands = [b.given["rod"] for b in piece.draft.bands if b.rod == rod.rod and "rod" in b.given]
    stock = of(piece.draft.stock, "overhang_mm spare_rods")
    return Answer(
        list(rod.pieces),
        lambda: (
            other(piece, "piece.width") | stock | {"bands": Put(len(bands), lines=tuple(bands))}
        ),
    )


@fact(
    "stock.rods.*.mass",
    "g",
    formula="pi * diameter ** 2 / 4 * sum(pieces) * density / 1e6",
    source="density: EN 1993-1-1 for steel; see materials/rods.toml",
)
def rod_mass(piece: Piece, r: int) -> Answer:
    """Mass of the cut rods."""
    need = _rod(piece, r)
    material = rod_material(need.rod.material)
    density = Put(material.density if material else None, "kg/m³")
    return Answer(
        need.mass_g,
        lambda: (
            {"diameter": Put(need.rod.diameter_mm, "mm"), "density": density}
            | other(piece, "stock.rods.*.pieces", r)
        ),
    )


CUT = (
    "the pieces can be cut from so many, a kerf with each and once more in the rod, after what is "
    "in stock"
)


@fact("stock.rods.*.buy", form="integer>=0", holds=CUT,
      source="derived; checked on published instances")  # fmt: skip
def rods_bought(piece: Piece, r: int) -> Answer:
    """Whole rods to buy: the fewest, after what is in stock."""
    return Answer(_rod(piece, r).plan.bought, lambda: _cut(piece, r))


@fact(
    "stock.rods.*.least",
    form="integer>=0",
    holds="length bound, linear relaxation or the proved optimum: not above what is bought",
)
def rods_least(piece: Piece, r: int) -> Answer:
    """No way of cutting needs fewer rods than this."""
    return Answer(_rod(piece, r).plan.bound, lambda: _cut(piece, r))


@fact("stock.rods.*.proved", form="boolean", holds="no way of cutting buys less; then buy = least")
def rods_proved(piece: Piece, r: int) -> Answer:
    """Whether the number to buy is proved least."""
    both = ("stock.rods.*.buy", "stock.rods.*.least")
    return Answer(
        _rod(piece, r).plan.proved,
        lambda: other(piece, both[0], r) | other(piece, both[1], r) | _cut(piece, r),
    )


_EACH = {"": "buy * each", "nothing to buy": "0"}


@fact("stock.rods.*.price", MONEY, form="number>=0?", formula=_EACH, source="the workshop")
def rods_price(piece: Piece, r: int) -> Answer:
    """Price of whole rods to buy; null while it is open."""
    need = _rod(piece, r)
    row = of(piece.draft.stock, "rod_price")["rod_price"]
    each_ = rod_price(piece.draft, need.rod)
    return Answer(
        need.price,
        lambda: other(piece, "stock.rods.*.buy", r) | {"each": Put(each_, MONEY, lines=row.lines)},
        "" if need.plan.bought else "nothing to buy",
    )


def _strip(piece: Piece, s: int) -> StripNeed:
    return piece.amounts.strips[s]


def _cut_strips(piece: Piece, s: int) -> Inputs:
    strip = piece.draft.strips[_strip(piece, s).strip]
    stock = of(piece.draft.stock, "heddle_length_mm kerf_mm heddles spare_units")
    return {"count": Put(_strip(piece, s).count)} | of(strip, "width_mm") | stock


@fact("stock.strips.*.name", form="string")
def strip_name(piece: Piece, s: int) -> Answer:
    """Its name."""
    return Answer(_strip(piece, s).strip)


@fact("stock.strips.*.count", form="integer>=0", formula="count(units)")
def strip_count(piece: Piece, s: int) -> Answer:
    """One strip for each unit."""
    need, draft = _strip(piece, s), piece.draft
    units = [u.name for u in draft.units if draft.kinds[u.kind].strip == need.strip]
    return Answer(need.count, lambda: {"units": Put(units)})


@fact("stock.strips.*.width", "mm", formula=AS_WRITTEN, source="the draft")
def strip_width(piece: Piece, s: int) -> Answer:
    """Width of the strip, as drafted."""
    need = _strip(piece, s)
    return Answer(need.width_mm, lambda: of(piece.draft.strips[need.strip], "width_mm"))


@fact("stock.strips.*.buy", form="integer>=0", holds=CUT, source="derived")
def strips_bought(piece: Piece, s: int) -> Answer:
    """Whole heddles to buy: the fewest, after what is in stock."""
    return Answer(_strip(piece, s).plan.bought, lambda: _cut_strips(piece, s))


@fact(
    "stock.strips.*.least",
    form="integer>=0",
    holds="length bound or the proved optimum: not above what is bought",
)
def strips_least(piece: Piece, s: int) -> Answer:
    """No way of cutting needs fewer heddles than this."""
    return Answer(_strip(piece, s).plan.bound, lambda: _cut_strips(piece, s))


@fact(
    "stock.strips.*.proved", form="boolean", holds="no way of cutting buys less; then buy = least"
)
def strips_proved(piece: Piece, s: int) -> Answer:
    """Whether the number to buy is proved least."""
    both = ("stock.strips.*.buy", "stock.strips.*.least")
    return Answer(
        _strip(piece, s).plan.proved,
        lambda: other(piece, both[0], s) | other(piece, both[1], s) | _cut_strips(piece, s),
    )


@fact("stock.strips.*.price", MONEY, form="number>=0?", formula=_EACH, source="the workshop")
def strips_price(piece: Piece, s: int) -> Answer:
    """Price of whole heddles to buy; null while it is open."""
    need = _strip(piece, s)
    price = of(piece.draft.stock, "heddle_price")["heddle_price"]
    return Answer(
        need.price,
        lambda: other(piece, "stock.strips.*.buy", s) | {"each": price._replace(unit=MONEY)},
        "" if need.plan.bought else "nothing to buy",
    )


def _weights(piece: Piece) -> dict[float, int]:
    """Whole grams of every weight that hangs, and how many of it."""
    counts: dict[float, int] = {}
    for weight in (mass for parts in piece.loom.handed.hung for mass in parts):
        mass = round(weight, 0)
        counts[mass] = counts.get(mass, 0) + 1
    return counts


def _hung(piece: Piece) -> Inputs:
    own = of(piece.draft.loom, "weights bobbin_g") | of(piece.draft.warp, "tension_n")
    return each(piece, "units.*.hung") | own


@fact("stock.weights.*.number", form="integer>=1")
def weight_number(_: Piece, w: int) -> Answer:
    """Its number in this list."""
    return Answer(w + 1)


@fact("stock.weights.*.mass", "g", holds="some unit's weight, in whole grams; see units.*.hung",
      source="derived")  # fmt: skip
def weight_mass(piece: Piece, w: int) -> Answer:
    """Weight chosen from those she owns, or what is asked beside the bobbin; whole grams."""
    return Answer(list(_weights(piece))[w], lambda: _hung(piece))


@fact("stock.weights.*.count", form="integer>=0", holds="with their masses they come to all that "
      "hangs, to half a gram each")  # fmt: skip
def weight_count(piece: Piece, w: int) -> Answer:
    """How many of this weight hang."""
    return Answer(list(_weights(piece).values())[w], lambda: _hung(piece))


def _brushed(piece: Piece) -> Inputs:
    """Picks, weft and warp of the bands that are brushed."""
    draft = piece.draft
    mine = [b for b, band in enumerate(draft.bands) if band.adhesive]
    bands = [draft.bands[b] for b in mine]
    labels = tuple(f"band {b + 1}" for b in mine)
    lines = tuple(line for band in bands if (line := band.given.get("picks")))
    tex = [draft.yarns[weft_name(draft, band)].count.tex for band in bands]
    thick = [weft_diameter_mm(draft, band) for band in bands]
    warp = [
        count * draft.yarns[name].count.tex
        for unit in draft.units
        for count, name in draft.kinds[unit.kind].ends
    ]
    return {
        "picks": Put([band.pick_count for band in bands], lines=lines, labels=labels),
        "weft_tex": Put(tex, "tex", labels=labels),
        "weft_diameter": Put(thick, "mm", labels=labels),
        "warp_tex": Put(math.fsum(warp), "tex"),
    } | each(piece, "bands.*.weft_length", only=mine)


@fact(
    "stock.adhesive.yarn",
    "g",
    formula="sum(weft_length * weft_tex + picks * weft_diameter * warp_tex) / 1e6",
    source="derived",
)
def glued_yarn(piece: Piece) -> Answer:
    """Yarn in the brushed bands: the weft, and the warp that lies between its picks."""
    return Answer(piece.amounts.adhesive.yarn_g, lambda: _brushed(piece))


@fact(
    "stock.adhesive.liquid",
    "cm³",
    formula="yarn * uptake / density * (1 + waste)",
    source="uptake 0.5 to 1: common practice, no source; sample it",
)
def liquid(piece: Piece) -> Answer:
    """Thinned adhesive that this yarn takes up, with waste."""
    own = of(piece.draft.adhesive, "uptake density") | of(piece.draft.rates, "waste")
    return Answer(
        piece.amounts.adhesive.liquid_cm3, lambda: other(piece, "stock.adhesive.yarn") | own
    )


@fact("stock.adhesive.neat", "cm³", formula="liquid * parts / (parts + water)", source="the recipe")
def neat(piece: Piece) -> Answer:
    """Neat adhesive in it."""
    own = of(piece.draft.adhesive, "parts water")
    return Answer(
        piece.amounts.adhesive.neat_cm3, lambda: other(piece, "stock.adhesive.liquid") | own
    )


@fact("stock.adhesive.water", "cm³", formula="liquid - neat", source="the recipe")
def water(piece: Piece) -> Answer:
    """Water in it."""
    return Answer(
        piece.amounts.adhesive.water_cm3,
        lambda: other(piece, "stock.adhesive.liquid stock.adhesive.neat"),
    )


@fact("stock.adhesive.price", MONEY, form="number>=0?", formula="price * neat / 1000",
      source="the draft or the workshop")  # fmt: skip
def adhesive_price(piece: Piece) -> Answer:
    """Price of the neat adhesive used; null while it is open."""
    return Answer(
        piece.amounts.adhesive.price,
        lambda: other(piece, "stock.adhesive.neat") | of(piece.draft.adhesive, "price"),
    )

"""What does a piece need of yarn, rods, strips and adhesive, and what is to buy?

Need, less what is in stock, in whole cones and bars. Lengths mm, masses g, volumes cm³, money in
the currency of the rates. Every record keeps the numbers that a total was made of.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from crossfell.base.notes import Note, error
from crossfell.base.quantities import NotAQuantity, read_quantity, written
from crossfell.draft.model import Draft, Rod, Yarn
from crossfell.draft.rod_text import rod_of
from crossfell.draft.stock_items import StockItem, for_others, name_of
from crossfell.loom.bobbins import Winding
from crossfell.materials.tables import rod_material, rod_names
from crossfell.materials.yarn import mass_g
from crossfell.paths.model import Paths
from crossfell.paths.stage import weft_name
from crossfell.plan.cutting import CutPlan, cut
from crossfell.plan.winding import Group


@dataclass(frozen=True, kw_only=True)
class YarnNeed:
    """What is needed of one yarn, and what to buy."""

    yarn: str
    warp_g: float
    weft_g: float
    waste: float
    need_g: float  # with waste
    in_stock_g: float
    buy_g: float  # whole put-ups
    put_ups: int | None  # None when the put-up is not known
    price: float | None


@dataclass(frozen=True, kw_only=True)
class RodNeed:
    """Rods of one material and diameter: pieces (mm) and the cut plan."""

    rod: Rod
    pieces: tuple[float, ...]
    mass_g: float  # of all pieces
    plan: CutPlan
    price: float | None


@dataclass(frozen=True, kw_only=True)
class StripNeed:
    """Strips of one kind and the cut plan from whole heddles."""

    strip: str
    count: int
    width_mm: float
    plan: CutPlan
    price: float | None


@dataclass(frozen=True, kw_only=True)
class AdhesiveNeed:
    """Thinned adhesive for all bands (cm³): neat and water."""

    yarn_g: float  # yarn in the bands that takes it up
    liquid_cm3: float
    neat_cm3: float
    water_cm3: float
    price: float | None


def yarns_needed(
    draft: Draft,
    windings: tuple[Winding, ...],
    groups: tuple[Group, ...],
    weft_mm: tuple[float, ...],
) -> tuple[YarnNeed, ...]:
    """Yarn for warp and weft with waste, less what is in stock, in whole put-ups.

    Bobbins are wound to the length of their group.
    """
    warp_g = dict.fromkeys(draft.yarns, 0.0)
    weft_g = dict.fromkeys(draft.yarns, 0.0)
    for group in groups:
        for winding in (windings[u] for u in group.units):
            for name, _, mass in winding.by_yarn:
                warp_g[name] += mass * group.length_mm / winding.total_mm
    for band, length in zip(draft.bands, weft_mm, strict=True):
        name = weft_name(draft, band)
        weft_g[name] += mass_g(length, draft.yarns[name].count.tex)
    needs = []
    for name, yarn in draft.yarns.items():
        need = (warp_g[name] + weft_g[name]) * (1 + draft.rates.waste)
        if not need:
            continue
        buy, put_ups, price = bought(yarn, need)
        needs.append(
            YarnNeed(
                yarn=name,
                warp_g=warp_g[name],
                weft_g=weft_g[name],
                waste=draft.rates.waste,
                need_g=need,
                in_stock_g=yarn.free_g,
                buy_g=buy,
                put_ups=put_ups,
                price=price,
            )
        )
    return tuple(needs)


def bought(yarn: Yarn, need_g: float) -> tuple[float, int | None, float | None]:
    """What is to buy of a yarn for a need (g), in how many put-ups, and its price if known."""
    short = max(need_g - yarn.free_g, 0.0)
    put_ups = math.ceil(short / yarn.put_up_g - 1e-9) if yarn.put_up_g else None
    buy = put_ups * yarn.put_up_g if put_ups is not None and yarn.put_up_g else short
    if not buy:
        return 0.0, put_ups, 0.0
    return buy, put_ups, None if yarn.price is None else yarn.price * buy / 1000


def rods_needed(draft: Draft, paths: Paths, notes: list[Note]) -> tuple[RodNeed, ...]:
    """Rods of every kind with their spares, and how they are cut; what is wrong goes to `notes`."""
    pieces: dict[Rod, list[float]] = {}
    for b, band in enumerate(draft.bands):
        if band.rod and band.rod_count:
            pieces.setdefault(band.rod, []).extend([paths.rod_mm(b)] * band.rod_count)
    owned = rods_in_stock(draft, notes)
    needs = []
    for rod, bands in pieces.items():
        wanted = bands + [max(bands)] * draft.stock.spare_rods
        material = rod_material(rod.material)
        if material is None:
            where = next(b.given.get("rod", b.where) for b in draft.bands if b.rod == rod)
            notes.append(error("no-such-rod", where, material=rod.material, there=rod_names()))
            continue
        plan = cut(
            wanted,
            draft.stock.rod_length_mm,
            kerf_mm=draft.stock.kerf_mm,
            off_cuts=owned.get(rod.label, {}),
            keep_mm=draft.stock.keep_mm,
        )
        if plan.too_long:
            where = draft.stock.given.get("rod_length_mm", draft.stock.where)
            notes.append(
                error(
                    "rod-too-long",
                    where,
                    rod=rod.label,
                    need=written(max(wanted), draft.measure),
                    stock=written(draft.stock.rod_length_mm, draft.measure),
                )
            )
        each = rod_price(draft, rod, notes)
        area = math.pi * rod.diameter_mm**2 / 4
        needs.append(
            RodNeed(
                rod=rod,
                pieces=tuple(wanted),
                mass_g=area * sum(wanted) * material.density * 1e-6,
                plan=plan,
                price=0.0 if not plan.bought else None if each is None else each * plan.bought,
            )
        )
    return tuple(needs)


def rods_in_stock(draft: Draft, notes: list[Note] | None = None) -> dict[str, dict[float, int]]:
    """Rods that no other piece is waiting for: by label, length (mm) and how many."""
    owned = rods_there(draft, notes)
    for item in _kept_for_others(draft):
        pieces = owned.get(item.name, {})
        if item.kind == "rod" and item.size in pieces:
            pieces[item.size] = max(pieces[item.size] - item.times, 0)
    return owned


def _kept_for_others(draft: Draft) -> tuple[StockItem, ...]:
    return for_others(draft.stock.reserved, name_of(draft.file))


def rods_there(draft: Draft, notes: list[Note] | None = None) -> dict[str, dict[float, int]]:
    """Rods she has: by label as `steel 3`, length (mm) and how many; bad rows go to `notes`."""
    owned: dict[str, dict[float, int]] = {}
    for row in draft.stock.rods:
        label, _, rest = row.partition(":")
        length, _, count = rest.partition("*")
        try:
            pieces = owned.setdefault(rod_of(label).label, {})
            key = read_quantity(length, "length", draft.measure)
            pieces[key] = pieces.get(key, 0) + int(count or 1)
        except (NotAQuantity, ValueError):
            where = draft.stock.given.get("rods", draft.stock.where)
            if notes is not None and all(note.code != "not-a-stock-rod" for note in notes):
                notes.append(error("not-a-stock-rod", where, found=row))
    return owned


def heddles_in_stock(draft: Draft) -> dict[float, int]:
    """Pieces of heddle that no other piece is waiting for: length (mm) and how many."""
    owned = Counter(draft.stock.heddles)
    for item in _kept_for_others(draft):
        if item.kind == "heddle":
            owned[item.size] = max(owned[item.size] - item.times, 0)
    return dict(owned)


def rod_price(draft: Draft, rod: Rod, notes: list[Note] | None = None) -> float | None:
    """Price of a whole rod, if it is known; bad rows go to `notes`."""
    for row in draft.stock.rod_price:
        label, _, price = row.partition(":")
        try:
            if rod_of(label).label == rod.label:
                return float(price)
        except (NotAQuantity, ValueError):
            where = draft.stock.given.get("rod_price", draft.stock.where)
            if notes is not None and all(note.code != "not-a-rod-price" for note in notes):
                notes.append(error("not-a-rod-price", where, found=row))
    return None


def strips_needed(draft: Draft, notes: list[Note]) -> tuple[StripNeed, ...]:
    """Strips of every kind with their spares, cut from whole heddles and pieces in stock."""
    counts: dict[str, int] = {}
    for strip in draft.strip_of:
        counts[strip.name] = counts.get(strip.name, 0) + 1
    owned = heddles_in_stock(draft)
    needs = []
    for name, count in counts.items():
        strip = draft.strips[name]
        pieces = [strip.width_mm] * (count + draft.stock.spare_units)
        plan = cut(
            pieces,
            draft.stock.heddle_length_mm,
            kerf_mm=draft.stock.kerf_mm,
            off_cuts=owned,
            keep_mm=draft.stock.keep_mm,
        )
        owned = without(owned, plan)
        if plan.too_long:
            facts = {
                "strip": name,
                "need": written(strip.width_mm, draft.measure),
                "stock": written(draft.stock.heddle_length_mm, draft.measure),
            }
            notes.append(error("strip-too-wide", strip.where, **facts))
        each = draft.stock.heddle_price
        needs.append(
            StripNeed(
                strip=name,
                count=count,
                width_mm=strip.width_mm,
                plan=plan,
                price=0.0 if not plan.bought else None if each is None else each * plan.bought,
            )
        )
    return tuple(needs)


def without(owned: Mapping[float, int], plan: CutPlan) -> dict[float, int]:
    """What is left of her pieces (mm: how many) when a plan is cut."""
    left = dict(owned)
    for bar in plan.bars:
        if bar.in_stock:
            left[bar.stock_mm] -= bar.times
    return left


def adhesive_needed(draft: Draft, yarn_g: float) -> AdhesiveNeed:
    """Liquid taken up: a share of the mass of the yarn that it soaks."""
    recipe = draft.adhesive
    liquid = yarn_g * recipe.uptake / recipe.density * (1 + draft.rates.waste)
    parts = recipe.parts + recipe.water
    neat = liquid * recipe.parts / parts if parts else liquid
    price = None if recipe.price is None else recipe.price * neat / 1000
    return AdhesiveNeed(
        yarn_g=yarn_g, liquid_cm3=liquid, neat_cm3=neat, water_cm3=liquid - neat, price=price
    )

"""What do several pieces need together, and what is to buy for all of them?

Needs are added up, the stock is taken once, and only then all is rounded to packs and bars. Pieces
may be alike, or of different drafts that share a workshop: the stock is that of the first.
Masses g, lengths mm. Checked: tests/plan/test_several.py, by exhaustive search over small cases.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from crossfell.draft.model import Draft, Rod, Strip, Yarn
from crossfell.plan.amounts import Amounts
from crossfell.plan.charging import Charged, charged_of
from crossfell.plan.cutting import CutPlan, cut
from crossfell.plan.stock import (
    AdhesiveNeed,
    RodNeed,
    StripNeed,
    YarnNeed,
    bought,
    heddles_in_stock,
    rod_price,
    rods_in_stock,
    without,
)


@dataclass(frozen=True, kw_only=True)
class PiecesOf:
    """Some pieces of one draft."""

    draft: Draft
    amounts: Amounts
    pieces: int = 1


@dataclass(frozen=True, kw_only=True)
class NeededTogether:
    """What all of them take. `draft` is the first, with the yarns and strips of all."""

    draft: Draft
    yarns: tuple[YarnNeed, ...]
    rods: tuple[RodNeed, ...]
    strips: tuple[StripNeed, ...]
    adhesive: AdhesiveNeed
    charged: Charged

    @property
    def price(self) -> float | None:
        """What is to buy, in money; None while a price is missing."""
        rows = [
            *(need.price for need in self.yarns),
            *(need.price for need in self.rods),
            *(need.price for need in self.strips),
            self.adhesive.price,
        ]
        known = [price for price in rows if price is not None]
        return math.fsum(known) if len(known) == len(rows) else None


def together(parts: Sequence[PiecesOf]) -> NeededTogether:
    """Add up what pieces need, and buy for all at once. There is at least one part."""
    named = _named(parts)
    draft = replace(
        parts[0].draft,
        yarns=MappingProxyType(dict(named.yarns.values())),
        strips=MappingProxyType(dict(named.strips.values())),
    )
    yarns = tuple(_yarn(draft, name, rows) for name, rows in _yarn_rows(parts, named).items())
    rods = _rods(draft, parts)
    strips = _strips(draft, parts, named)
    adhesive = _adhesive(parts)
    return NeededTogether(
        draft=draft,
        yarns=yarns,
        rods=rods,
        strips=strips,
        adhesive=adhesive,
        charged=charged_of(draft, yarns, rods, strips, adhesive),
    )


@dataclass(frozen=True, kw_only=True)
class _Named:
    """Names of yarns and strips over all drafts: of two that differ one is told by its piece."""

    yarns: Mapping[tuple[object, ...], tuple[str, Yarn]]
    strips: Mapping[tuple[object, ...], tuple[str, Strip]]


def _named(parts: Sequence[PiecesOf]) -> _Named:
    yarns: dict[tuple[object, ...], tuple[str, Yarn]] = {}
    strips: dict[tuple[object, ...], tuple[str, Strip]] = {}
    for part in parts:
        title = part.draft.about.title
        for name, yarn in part.draft.yarns.items():
            yarns.setdefault(_yarn_key(yarn), (_free(name, yarns, title), yarn))
        for name, strip in part.draft.strips.items():
            strips.setdefault(_strip_key(strip), (_free(name, strips, title), strip))
    return _Named(yarns=yarns, strips=strips)


def _free(name: str, taken: Mapping[tuple[object, ...], tuple[str, object]], title: str) -> str:
    """A name that no other thing has."""
    names = {other for other, _ in taken.values()}
    if name not in names:
        return name
    told, k = f"{name} of {title}", 2
    while told in names:
        told, k = f"{name} of {title} ({k})", k + 1
    return told


def _yarn_key(yarn: Yarn) -> tuple[object, ...]:
    """Two yarns are one if they are called alike, spun alike and of one lot."""
    return yarn.name, yarn.count.tex, yarn.colour, yarn.lot, yarn.price, yarn.put_up_g


def _strip_key(strip: Strip) -> tuple[object, ...]:
    return strip.name, strip.width_mm, strip.dents


def _yarn_rows(parts: Sequence[PiecesOf], named: _Named) -> dict[str, list[tuple[YarnNeed, int]]]:
    """What each piece needs of each yarn, and how many times."""
    rows: dict[str, list[tuple[YarnNeed, int]]] = {}
    for part in parts:
        for need in part.amounts.yarns:
            name, _ = named.yarns[_yarn_key(part.draft.yarns[need.yarn])]
            rows.setdefault(name, []).append((need, part.pieces))
    return rows


def _yarn(draft: Draft, name: str, rows: list[tuple[YarnNeed, int]]) -> YarnNeed:
    yarn = draft.yarns[name]
    total = math.fsum(need.need_g * times for need, times in rows)
    buy, put_ups, price = bought(yarn, total)
    return YarnNeed(
        yarn=name,
        warp_g=math.fsum(need.warp_g * times for need, times in rows),
        weft_g=math.fsum(need.weft_g * times for need, times in rows),
        waste=rows[0][0].waste,
        need_g=total,
        in_stock_g=yarn.free_g,
        buy_g=buy,
        put_ups=put_ups,
        price=price,
    )


def _rods(draft: Draft, parts: Sequence[PiecesOf]) -> tuple[RodNeed, ...]:
    wanted: dict[str, tuple[Rod, list[float], float]] = {}
    for part in parts:
        for need in part.amounts.rods:
            rod, pieces, mass = wanted.get(need.rod.label, (need.rod, [], 0.0))
            more = list(need.pieces) * part.pieces
            wanted[rod.label] = (rod, pieces + more, mass + need.mass_g * part.pieces)
    owned = rods_in_stock(draft)
    needs = []
    for label, (rod, pieces, mass) in wanted.items():
        plan = _cut(draft, pieces, draft.stock.rod_length_mm, owned.get(label, {}))
        price = _price(plan, rod_price(draft, rod))
        needs.append(RodNeed(rod=rod, pieces=tuple(pieces), mass_g=mass, plan=plan, price=price))
    return tuple(needs)


def _strips(draft: Draft, parts: Sequence[PiecesOf], named: _Named) -> tuple[StripNeed, ...]:
    wanted: dict[str, tuple[int, int]] = {}
    for part in parts:
        for need in part.amounts.strips:
            name, _ = named.strips[_strip_key(part.draft.strips[need.strip])]
            count, spare = wanted.get(name, (0, 0))
            more = part.draft.stock.spare_units
            wanted[name] = (count + need.count * part.pieces, spare + more * part.pieces)
    owned = heddles_in_stock(draft)
    needs = []
    for name, (count, spare) in wanted.items():
        width = draft.strips[name].width_mm
        plan = _cut(draft, [width] * (count + spare), draft.stock.heddle_length_mm, owned)
        owned = without(owned, plan)
        price = _price(plan, draft.stock.heddle_price)
        needs.append(StripNeed(strip=name, count=count, width_mm=width, plan=plan, price=price))
    return tuple(needs)


def _cut(
    draft: Draft, pieces: list[float], length_mm: float, owned: Mapping[float, int]
) -> CutPlan:
    stock = draft.stock
    return cut(pieces, length_mm, kerf_mm=stock.kerf_mm, off_cuts=owned, keep_mm=stock.keep_mm)


def _price(plan: CutPlan, each: float | None) -> float | None:
    if not plan.bought:
        return 0.0
    return None if each is None else each * plan.bought


def _adhesive(parts: Sequence[PiecesOf]) -> AdhesiveNeed:
    """Adhesive of all pieces; its price stays open while that of one is."""
    rows = [(part.amounts.adhesive, part.pieces) for part in parts]
    prices = [None if glue.price is None else glue.price * times for glue, times in rows]
    known = [price for price in prices if price is not None]
    return AdhesiveNeed(
        yarn_g=math.fsum(glue.yarn_g * times for glue, times in rows),
        liquid_cm3=math.fsum(glue.liquid_cm3 * times for glue, times in rows),
        neat_cm3=math.fsum(glue.neat_cm3 * times for glue, times in rows),
        water_cm3=math.fsum(glue.water_cm3 * times for glue, times in rows),
        price=math.fsum(known) if len(known) == len(prices) else None,
    )

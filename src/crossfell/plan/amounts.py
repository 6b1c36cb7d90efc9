"""How much of everything: what is wound, cut, brushed, bought, and what do the materials cost?

Lengths mm, masses g, volumes cm³, money in the currency of the rates. Every record keeps the
numbers that a total was made of, so that `why` can show them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from crossfell.base.notes import Note, doubt
from crossfell.draft.model import Draft
from crossfell.loom.bobbins import Bobbins, Winding
from crossfell.paths.masses import soaked_g, weft_mm
from crossfell.paths.model import Paths
from crossfell.plan.charging import Charged, charged_of
from crossfell.plan.stock import (
    AdhesiveNeed,
    RodNeed,
    StripNeed,
    YarnNeed,
    adhesive_needed,
    rods_needed,
    strips_needed,
    yarns_needed,
)
from crossfell.plan.winding import WindingPlan


@dataclass(frozen=True, kw_only=True)
class Amounts:
    """Everything that the piece takes."""

    windings: tuple[Winding, ...]
    weft_mm: tuple[float, ...]  # [bands]
    yarns: tuple[YarnNeed, ...]
    rods: tuple[RodNeed, ...]
    strips: tuple[StripNeed, ...]
    adhesive: AdhesiveNeed
    price: float | None  # of all materials to buy; None while a price is missing
    charged: Charged
    notes: tuple[Note, ...]


def amounts_of(draft: Draft, paths: Paths, bobbins: Bobbins, winding: WindingPlan) -> Amounts:
    """Work out what the piece takes. A missing price leaves the sum open and is noted."""
    notes: list[Note] = [*bobbins.notes]
    windings = bobbins.windings
    weft = tuple(weft_mm(draft, paths).tolist())
    yarns = yarns_needed(draft, windings, winding.groups, weft)
    rods = rods_needed(draft, paths, notes)
    strips = strips_needed(draft, notes)
    adhesive = adhesive_needed(draft, float(soaked_g(draft, paths).sum()))
    prices = [
        *(need.price for need in yarns),
        *(need.price for need in rods),
        *(need.price for need in strips),
        adhesive.price,
    ]
    total = _sum(prices)
    charged = charged_of(draft, yarns, rods, strips, adhesive)
    if charged.missing:
        notes.append(_missing_prices(draft, yarns, charged))
    return Amounts(
        windings=windings,
        weft_mm=weft,
        yarns=yarns,
        rods=rods,
        strips=strips,
        adhesive=adhesive,
        price=total,
        charged=charged,
        notes=tuple(notes),
    )


def _sum(prices: list[float | None]) -> float | None:
    known = [price for price in prices if price is not None]
    return math.fsum(known) if len(known) == len(prices) else None


def _missing_prices(draft: Draft, yarns: tuple[YarnNeed, ...], charged: Charged) -> Note:
    heddles = [name for name in charged.missing if name.startswith("heddle")]
    missing = ["heddle" if name in heddles[:1] else name for name in charged.missing
               if name not in heddles[1:]]  # fmt: skip
    open_ = (
        draft.yarns[need.yarn].where
        for need, price in zip(yarns, charged.yarns, strict=True)
        if price is None
    )
    return doubt("price-missing", next(open_, draft.stock.where), what=", ".join(missing))

"""What does she charge for materials: what is bought, and what she had already?

Yarn, rods and heddle that come from her stock cost her something once; by `charge` of [rates] they
are charged at their price beside what is to buy, or only what is used is, or only what is bought.
Masses g, lengths mm, money in the currency of the rates; None where a price is not known.
Source: common practice, no source. Checked: tests/plan/test_charging.py, by sums in decimals.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from crossfell.draft.model import Draft, Rates, Yarn
from crossfell.plan.cutting import Bar, CutPlan
from crossfell.plan.stock import AdhesiveNeed, RodNeed, StripNeed, YarnNeed, bought, rod_price

OWN, USED = "bought and own", "used"  # the third is "bought"


@dataclass(frozen=True, kw_only=True)
class Charged:
    """What is charged for each, in the order of the amounts."""

    yarns: tuple[float | None, ...]
    rods: tuple[float | None, ...]
    strips: tuple[float | None, ...]
    adhesive: float | None
    missing: tuple[str, ...]  # what has no price

    @property
    def known(self) -> float:
        """Sum of what has a price."""
        rows = (*self.yarns, *self.rods, *self.strips, self.adhesive)
        return math.fsum(price for price in rows if price is not None)

    @property
    def total(self) -> float | None:
        """Sum of all; None while a price is missing."""
        return None if self.missing else self.known


def charged_of(
    draft: Draft,
    yarns: tuple[YarnNeed, ...],
    rods: tuple[RodNeed, ...],
    strips: tuple[StripNeed, ...],
    adhesive: AdhesiveNeed,
) -> Charged:
    """What is charged for all materials of a piece."""
    names = [f"yarn {need.yarn}" for need in yarns] + [f"rod {need.rod.label}" for need in rods]
    names += [f"heddle for {need.strip}" for need in strips] + ["adhesive"]
    of_yarns = tuple(
        yarn_charged(draft.rates, draft.yarns[need.yarn], need.need_g) for need in yarns
    )
    of_rods = tuple(
        _bars(draft, need.plan, rod_price(draft, need.rod), draft.stock.rod_length_mm)
        for need in rods
    )
    of_strips = tuple(_strip(draft, need) for need in strips)
    prices = [*of_yarns, *of_rods, *of_strips, adhesive.price]
    return Charged(
        yarns=of_yarns,
        rods=of_rods,
        strips=of_strips,
        adhesive=adhesive.price,
        missing=tuple(name for name, price in zip(names, prices, strict=True) if price is None),
    )


def yarn_charged(rates: Rates, yarn: Yarn, need_g: float) -> float | None:
    """What is charged for a need (g) of a yarn."""
    mass = yarn_mass(rates, yarn, need_g)
    if not mass:
        return 0.0
    return None if yarn.price is None else yarn.price * mass / 1000


def yarn_mass(rates: Rates, yarn: Yarn, need_g: float) -> float:
    """Mass (g) that is charged: used, or bought in whole put-ups, with what is taken or without."""
    if rates.charge == USED:
        return need_g
    own = min(need_g, yarn.free_g) if rates.charge == OWN else 0.0
    return bought(yarn, need_g)[0] + own


def _bars(draft: Draft, plan: CutPlan, each: float | None, length_mm: float) -> float | None:
    """What is charged for bars: whole ones, and parts of one by their length."""
    many = bars_charged(draft, plan, length_mm)
    if not many:
        return 0.0
    return None if each is None else each * many


def bars_charged(draft: Draft, plan: CutPlan, length_mm: float) -> float:
    """How many whole bars the charge comes to."""
    keep = draft.stock.keep_mm
    if draft.rates.charge == USED:
        return taken_mm(plan, keep, own=False) / length_mm
    own = taken_mm(plan, keep, own=True) if draft.rates.charge == OWN else 0.0
    return plan.bought + own / length_mm


def taken_mm(plan: CutPlan, keep_mm: float, *, own: bool) -> float:
    """Length that is gone: bars less the rests that are kept; of all bars, or of her own only."""
    bars = (bar for bar in plan.bars if bar.in_stock or not own)
    return math.fsum(bar.times * (bar.stock_mm - kept_mm(bar, keep_mm)) for bar in bars)


def kept_mm(bar: Bar, keep_mm: float) -> float:
    """What is left of a bar and worth keeping."""
    return bar.rest_mm if bar.rest_mm >= max(keep_mm, 1e-6) else 0.0


def _strip(draft: Draft, need: StripNeed) -> float | None:
    """Strips of heddle can be used again: their wear is charged."""
    wear, stock = draft.rates.heddle_wear, draft.stock
    if not wear:
        return 0.0
    price = _bars(draft, need.plan, stock.heddle_price, stock.heddle_length_mm)
    return None if price is None else wear * price

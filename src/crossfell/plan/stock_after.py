"""What is in stock once everything is cut?

Bars that are cut leave the stock, rests that are worth keeping go back to it, and so do whole
bars that were bought for nothing. The workshop's text is changed only when she says so.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from crossfell.draft.edit import set_key
from crossfell.draft.model import Draft
from crossfell.plan.amounts import Amounts
from crossfell.plan.cutting import CutPlan
from crossfell.plan.stock import heddles_in_stock, rods_in_stock

Pieces = Mapping[float, int]  # length mm: how many


@dataclass(frozen=True, kw_only=True)
class StockAfter:
    """Pieces in stock after cutting: rods by label, and heddle."""

    rods: Mapping[str, Pieces]
    heddles: Pieces

    @property
    def rows(self) -> list[str]:
        """Rods as they are written in [stock]."""
        return [
            f"{label}: {length:.10g} mm * {count}"
            for label, pieces in self.rods.items()
            for length, count in pieces.items()
        ]


def stock_after(draft: Draft, amounts: Amounts) -> StockAfter:
    """Stock after the cut plans of a piece. Rods that the piece does not need stay as they are."""
    rods = {label: Counter(pieces) for label, pieces in rods_in_stock(draft).items()}
    for need in amounts.rods:
        rods[need.rod.label] = _after(rods.get(need.rod.label, Counter()), need.plan)
    heddles = Counter(heddles_in_stock(draft))
    for strip in amounts.strips:
        heddles = _after(heddles, strip.plan)
    return StockAfter(
        rods={label: _sorted(pieces) for label, pieces in sorted(rods.items())},
        heddles=_sorted(heddles),
    )


def _after(owned: Counter[float], plan: CutPlan) -> Counter[float]:
    left = Counter(owned)
    for bar in plan.bars:
        if bar.in_stock:
            left[bar.stock_mm] -= bar.times
    left.update(round(rest, 3) for rest in plan.returned)
    return left


def _sorted(pieces: Pieces) -> dict[float, int]:
    return {length: count for length, count in sorted(pieces.items(), reverse=True) if count > 0}


def with_stock(workshop: str, after: StockAfter) -> str:
    """The workshop's text with the stock as it is after cutting. Errors: NotEditable."""
    text = set_key(workshop, "stock.rods", after.rows)
    pieces = [f"{length:.10g} mm" for length, n in after.heddles.items() for _ in range(n)]
    return set_key(text, "stock.heddles", pieces)

"""How is the shopping list read, and how are bars cut?"""

from __future__ import annotations

from collections import Counter

from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.plan.amounts import Amounts
from crossfell.plan.cutting import CutPlan
from crossfell.plan.sure import Sure


def told(draft: Draft, amounts: Amounts, sure: Sure) -> str:
    """Write what to buy, and how rods and heddles are cut."""
    return "\n".join(["To buy", *_to_buy(draft, amounts, sure), "", *_to_cut(draft, amounts)])


def _to_buy(draft: Draft, amounts: Amounts, sure: Sure) -> list[str]:
    out = []
    for need in amounts.yarns:
        many = "put-up" if need.put_ups == 1 else "put-ups"
        packs = "" if need.put_ups is None else f", {need.put_ups} {many}"
        out.append(
            f"  yarn {need.yarn}: {need.buy_g:.0f} g{packs}"
            f" (needs {need.need_g:.0f} ± {sure.yarn_g[need.yarn]:.2g} g,"
            f" has {need.in_stock_g:.0f} g)"
        )
    length = written(draft.stock.rod_length_mm, draft.measure)
    out += [f"  rod {need.rod.label}: {need.plan.bought} of {length}" for need in amounts.rods]
    width = written(draft.stock.heddle_length_mm, draft.measure)
    out += [f"  heddle for {n.strip}: {n.plan.bought} of {width}" for n in amounts.strips]
    glue = amounts.adhesive
    recipe = draft.adhesive
    out.append(
        f"  {recipe.name}: {glue.neat_cm3:.0f} cm³ neat, with {glue.water_cm3:.0f} cm³ of water"
        f" ({recipe.parts:g} : {recipe.water:g} by volume)"
    )
    return out


def _to_cut(draft: Draft, amounts: Amounts) -> list[str]:
    out = []
    for need in amounts.rods:
        out += [f"Rod {need.rod.label}", *_bars(draft, need.plan)]
    for strip in amounts.strips:
        out += [f"Heddle for {strip.strip}", *_bars(draft, strip.plan)]
    return out


def _bars(draft: Draft, plan: CutPlan) -> list[str]:
    out = []
    for bar in plan.bars:
        pieces = Counter(bar.pieces)
        cuts = " + ".join(
            f"{count} × {_cut(size, draft.measure)}" for size, count in pieces.items()
        )
        of = "in stock" if bar.in_stock else "bought"
        rest = written(bar.rest_mm, draft.measure)
        length = written(bar.stock_mm, draft.measure)
        out.append(f"  {bar.times} × {length} ({of}): {cuts}, {rest} left")
    if not plan.proved:
        out.append(f"  not proved the fewest: no plan buys fewer than {plan.bound}")
    return out


def _cut(length_mm: float, measure: str) -> str:
    """A length to cut: to a tenth of a mm, or to the sixteenth of an inch."""
    if measure == "in":
        return written(length_mm, measure)
    return f"{round(length_mm / 10, 2):g} cm" if measure == "cm" else f"{round(length_mm, 1):g} mm"

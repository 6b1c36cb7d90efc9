"""What does the workshop say once something is reserved, taken out, put back, counted?

Each change is worked out on the workshop's text, remarks kept, and is shown before it is written.
A piece is known by the name of its file. What is taken out: yarn that is wound, bars that are cut;
what was to buy counts as bought, and what is left of cones and bars goes into the stock.
"""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from crossfell.base.notes import Where
from crossfell.draft.edit import set_key
from crossfell.draft.model import Draft
from crossfell.draft.stock_items import Reserved, StockItem, name_of
from crossfell.plan.amounts import Amounts
from crossfell.plan.cutting import CutPlan
from crossfell.plan.stock import rods_there

Pieces = Mapping[float, int]  # length mm: how many


class StockRefused(ValueError):  # noqa: N818 - it is a sentence for the maker
    """The stock cannot be changed so; the sentence says why."""


@dataclass(frozen=True, kw_only=True)
class Shelf:
    """What lies there: yarns (g) that the workshop keeps, rods by label, heddles."""

    yarns: Mapping[str, float]
    rods: Mapping[str, Pieces]
    heddles: Pieces

    @property
    def rows(self) -> list[str]:
        """Rods as they are written in [stock]."""
        return [
            f"{label}: {length:.10g} mm * {count}"
            for label, pieces in self.rods.items()
            for length, count in _sorted(pieces).items()
        ]


@dataclass(frozen=True, kw_only=True)
class StockChange:
    """A change of the workshop's text: what it does, line by line, and what it cannot do."""

    what: str
    text: str
    says: tuple[str, ...]
    left_out: tuple[str, ...] = ()


def shelf_of(draft: Draft) -> Shelf:
    """What the workshop of a draft says is there. Yarns of the draft alone are none of it."""
    tables = tomllib.loads(draft.workshop_text).get("yarn", {})
    own = {
        yarn.name: yarn.in_stock_g
        for yarn in draft.yarns.values()
        if yarn.name in tables
        and yarn.given.get("in_stock_g", Where(draft.workshop_file)).file == draft.workshop_file
    }
    return Shelf(
        yarns=own,
        rods=rods_there(draft),
        heddles=Counter(draft.stock.heddles),
    )


def items_for(draft: Draft, amounts: Amounts) -> tuple[StockItem, ...]:
    """What a piece takes from what is there now."""
    shelf = shelf_of(draft)
    items = [
        StockItem("yarn", need.yarn, round(min(need.need_g, need.in_stock_g), 1))
        for need in amounts.yarns
        if need.yarn in shelf.yarns and need.in_stock_g
    ]
    bars = [("rod", need.rod.label, need.plan) for need in amounts.rods]
    bars += [("heddle", "", need.plan) for need in amounts.strips]
    found: Counter[tuple[str, str, float]] = Counter()
    for kind, name, plan in bars:
        for bar in plan.bars:
            if bar.in_stock:
                found[kind, name, bar.stock_mm] += bar.times
    return (*items, *(StockItem(*what, count) for what, count in found.items()))


def reserved(draft: Draft, amounts: Amounts) -> StockChange:
    """Keep for a piece what it takes. Errors: StockRefused when it was taken out already."""
    name = name_of(draft.file)
    if name in draft.stock.taken:
        raise StockRefused(f"what {name} takes was taken out already")
    mine = [Reserved(name, item) for item in items_for(draft, amounts)]
    rows = [row for row in draft.stock.reserved if row.piece != name] + mine
    if rows == list(draft.stock.reserved):
        raise StockRefused(f"this is reserved for {name} already, or nothing of it is there")
    text = set_key(draft.workshop_text, "stock.reserved", [row.text() for row in rows])
    says = tuple(f"kept for {name}: {row.item.text()}" for row in mine)
    return StockChange(what=f"reserve for {name}", text=text, says=says)


def taken(draft: Draft, amounts: Amounts) -> StockChange:
    """Take out what a piece takes, once. Errors: StockRefused the second time."""
    name, before = name_of(draft.file), shelf_of(draft)
    if name in draft.stock.taken:
        raise StockRefused(f"what {name} takes was taken out already: nothing is taken twice")
    rods = {label: Counter(pieces) for label, pieces in before.rods.items()}
    for need in amounts.rods:
        rods[need.rod.label] = _after(rods.get(need.rod.label, Counter()), need.plan)
    heddles = Counter(before.heddles)
    for strip in amounts.strips:
        heddles = _after(heddles, strip.plan)
    used = {need.yarn: need for need in amounts.yarns}
    yarns = {
        yarn: max(grams + used[yarn].buy_g - used[yarn].need_g, 0.0) if yarn in used else grams
        for yarn, grams in before.yarns.items()
    }
    after = Shelf(yarns=yarns, rods=rods, heddles=heddles)
    text, says = _written(draft.workshop_text, before, after)
    rows = [row.text() for row in draft.stock.reserved if row.piece != name]
    if len(rows) != len(draft.stock.reserved):
        text = set_key(text, "stock.reserved", rows)
    text = set_key(text, "stock.taken", [*draft.stock.taken, name])
    missing = tuple(
        f"yarn {yarn} has its stock in the draft: with its table in workshop.toml it is kept"
        for yarn in used
        if yarn not in before.yarns
    )
    return StockChange(what=f"take out for {name}", text=text, says=says, left_out=missing)


def put_back(draft: Draft, items: Sequence[StockItem]) -> StockChange:
    """Add off-cuts and remainders to what is there. Errors: StockRefused for an unknown yarn."""
    return _changed(draft, items, counting=False)


def counted(draft: Draft, items: Sequence[StockItem]) -> StockChange:
    """Say how much there is: a yarn's mass; rods of a kind and length. Errors: StockRefused."""
    return _changed(draft, items, counting=True)


def _changed(draft: Draft, items: Sequence[StockItem], *, counting: bool) -> StockChange:
    before = shelf_of(draft)
    yarns = dict(before.yarns)
    rods = {label: Counter(pieces) for label, pieces in before.rods.items()}
    heddles = Counter(before.heddles)
    for item in items:
        if item.kind == "yarn":
            if item.name not in yarns:
                there = ", ".join(yarns) or "none"
                raise StockRefused(f"workshop.toml has no yarn {item.name}; there is {there}")
            yarns[item.name] = item.size + (0.0 if counting else yarns[item.name])
            continue
        pieces = heddles if item.kind == "heddle" else rods.setdefault(item.name, Counter())
        pieces[item.size] = item.times + (0 if counting else pieces[item.size])
    text, says = _written(
        draft.workshop_text, before, Shelf(yarns=yarns, rods=rods, heddles=heddles)
    )
    return StockChange(what="count" if counting else "put back", text=text, says=says)


def _written(text: str, before: Shelf, after: Shelf) -> tuple[str, tuple[str, ...]]:
    """The workshop with what is there after, and each difference. Errors: NotEditable."""
    says = []
    for yarn, grams in after.yarns.items():
        if round(grams, 1) != round(before.yarns[yarn], 1):
            text = set_key(text, f"yarn.{yarn}.in_stock", f"{grams:.1f} g")
            says.append(f"yarn {yarn}: {before.yarns[yarn]:.1f} g → {grams:.1f} g")
    for label in sorted({*before.rods, *after.rods}):
        says += _differ(f"rod {label}", before.rods.get(label, {}), after.rods.get(label, {}))
    more = _differ("heddle", before.heddles, after.heddles)
    if after.rows != before.rows:
        text = set_key(text, "stock.rods", after.rows)
    if more:
        pieces = _sorted(after.heddles)
        rows = [f"{length:.10g} mm" for length, n in pieces.items() for _ in range(n)]
        text = set_key(text, "stock.heddles", rows)
    return text, (*says, *more)


def _differ(name: str, before: Pieces, after: Pieces) -> list[str]:
    return [
        f"{name}: {length:.10g} mm: {before.get(length, 0)} → {after.get(length, 0)}"
        for length in sorted({*before, *after}, reverse=True)
        if before.get(length, 0) != after.get(length, 0)
    ]


def _after(owned: Counter[float], plan: CutPlan) -> Counter[float]:
    left = Counter(owned)
    for bar in plan.bars:
        if bar.in_stock:
            left[bar.stock_mm] -= bar.times
    left.update(_rounded(plan.returned))
    return left


def _rounded(lengths: Iterable[float]) -> list[float]:
    return [round(length, 3) for length in lengths]


def _sorted(pieces: Pieces) -> dict[float, int]:
    return {length: count for length, count in sorted(pieces.items(), reverse=True) if count > 0}

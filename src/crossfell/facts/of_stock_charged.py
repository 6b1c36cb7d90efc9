"""What is charged for yarn, rods and heddles: what is bought, and what her stock gives?"""

from __future__ import annotations

from crossfell.facts.declare import MONEY, Answer, Inputs, Put, fact, of, other
from crossfell.piece import Piece
from crossfell.plan.charging import bars_charged, kept_mm, taken_mm, yarn_mass
from crossfell.plan.cutting import CutPlan
from crossfell.plan.stock import rod_price


@fact(
    "stock.yarn.*.charged",
    MONEY,
    form="number>=0?",
    formula={
        "bought and own": "price * (buy + min(need, in_stock)) / 1000",
        "used": "price * need / 1000",
        "bought": "price * buy / 1000",
        "nothing": "0",
    },
    source="the rates",
    says="{name} is charged at {value}.",
)
def yarn_charged(piece: Piece, y: int) -> Answer:
    """What is charged for it: what is bought and what stock gives, or as `charge` says."""
    need = piece.amounts.yarns[y]
    yarn = piece.draft.yarns[need.yarn]
    rates = piece.draft.rates
    own = {
        "bought and own": "stock.yarn.*.buy stock.yarn.*.need stock.yarn.*.in_stock",
        "used": "stock.yarn.*.need",
        "bought": "stock.yarn.*.buy",
    }
    return Answer(
        piece.amounts.charged.yarns[y],
        lambda: other(piece, own[rates.charge], y) | of(yarn, "price"),
        rates.charge if yarn_mass(rates, yarn, need.need_g) else "nothing",
    )


_GONE = "sum(times * (bars - kept))"


def _gone(piece: Piece, plan: CutPlan, *, own: bool) -> Answer:
    """Bars that are cut and the rests of them that are kept; of all, or of her own."""
    keep = piece.draft.stock.keep_mm
    bars = [bar for bar in plan.bars if bar.in_stock or not own]
    put = {
        "times": Put([bar.times for bar in bars]),
        "bars": Put([bar.stock_mm for bar in bars], "mm"),
        "kept": Put([kept_mm(bar, keep) for bar in bars], "mm"),
    }
    return Answer(taken_mm(plan, keep, own=own), lambda: put)


_CHARGE = {
    "bought and own": "each * (buy + own / length)",
    "used": "each * used / length",
    "bought": "each * buy",
    "nothing": "0",
}


@fact("stock.rods.*.own", "mm", formula=_GONE, source="derived")
def rods_own(piece: Piece, r: int) -> Answer:
    """Length that leaves her stock, less the rests that go back to it."""
    return _gone(piece, piece.amounts.rods[r].plan, own=True)


@fact("stock.rods.*.used", "mm", formula=_GONE, source="derived")
def rods_used(piece: Piece, r: int) -> Answer:
    """Length that is gone, of what is bought too, less the rests that are kept."""
    return _gone(piece, piece.amounts.rods[r].plan, own=False)


@fact("stock.rods.*.charged", MONEY, form="number>=0?", formula=_CHARGE, source="the rates")
def rods_charged(piece: Piece, r: int) -> Answer:
    """What is charged for rods: whole ones that are bought, her own by their length."""
    need, draft = piece.amounts.rods[r], piece.draft
    row = of(draft.stock, "rod_price")["rod_price"]
    price = Put(rod_price(draft, need.rod), MONEY, lines=row.lines)
    length = of(draft.stock, "rod_length_mm")["rod_length"]
    return Answer(
        piece.amounts.charged.rods[r],
        lambda: _bars(piece, "stock.rods", r) | {"each": price, "length": length},
        draft.rates.charge
        if bars_charged(draft, need.plan, draft.stock.rod_length_mm)
        else "nothing",
    )


def _bars(piece: Piece, level: str, index: int) -> Inputs:
    """What is charged of bars, by `charge`."""
    own = {
        "bought and own": f"{level}.*.buy {level}.*.own",
        "used": f"{level}.*.used",
        "bought": f"{level}.*.buy",
    }
    return other(piece, own[piece.draft.rates.charge], index)


@fact("stock.strips.*.own", "mm", formula=_GONE, source="derived")
def strips_own(piece: Piece, s: int) -> Answer:
    """Heddle that leaves her stock, less the rests that go back to it."""
    return _gone(piece, piece.amounts.strips[s].plan, own=True)


@fact("stock.strips.*.used", "mm", formula=_GONE, source="derived")
def strips_used(piece: Piece, s: int) -> Answer:
    """Heddle that is gone, of what is bought too, less the rests that are kept."""
    return _gone(piece, piece.amounts.strips[s].plan, own=False)


@fact(
    "stock.strips.*.charged",
    MONEY,
    form="number>=0?",
    formula={case: f"heddle_wear * {rest}" for case, rest in _CHARGE.items() if case != "nothing"}
    | {"nothing": "0"},
    source="the rates",
)
def strips_charged(piece: Piece, s: int) -> Answer:
    """What is charged for heddles: their wear, whole where nothing else is said."""
    need, draft = piece.amounts.strips[s], piece.draft
    stock, rates = draft.stock, draft.rates
    price = of(stock, "heddle_price")["heddle_price"]._replace(unit=MONEY)
    many = bars_charged(draft, need.plan, stock.heddle_length_mm)
    return Answer(
        piece.amounts.charged.strips[s],
        lambda: (
            _bars(piece, "stock.strips", s)
            | {"each": price, "length": of(stock, "heddle_length_mm")["heddle_length"]}
            | of(rates, "heddle_wear")
        ),
        rates.charge if many and rates.heddle_wear else "nothing",
    )

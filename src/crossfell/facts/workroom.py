"""What is known about yarns, winding, loom and price, as plain lists and tables.

Lengths mm, forces N, masses g; `…_how` says whether a value is measured, computed or a default.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from crossfell.facts.numbers import rounded
from crossfell.loom.tension import GRAVITY
from crossfell.materials.tables import fibre_of
from crossfell.materials.yarn import Valued, breaking_n, diameter_mm, elongation, stiffness_n
from crossfell.plan.quote import Line
from crossfell.statics.carrying import carrying
from crossfell.statics.quick import drifts_mm

if TYPE_CHECKING:
    from crossfell.draft.model import Yarn
    from crossfell.piece import Piece

Facts = dict[str, Any]


def yarns(piece: Piece) -> list[Facts]:
    """Every yarn: count, diameter, stiffness, strength, moisture."""
    return [_yarn(yarn) for yarn in piece.draft.yarns.values()]


def _yarn(yarn: Yarn) -> Facts:
    fibre = fibre_of(yarn.fibre)
    tex = yarn.count.tex
    return {
        "name": yarn.name,
        "tex": rounded(tex),
        **_ranged("diameter", diameter_mm(tex, yarn.fibre, yarn.diameter_mm)),
        **_ranged("stiffness", stiffness_n(tex, yarn.fibre, yarn.modulus_n_per_tex)),
        **_ranged("breaking", breaking_n(tex, yarn.fibre, yarn.tenacity_n_per_tex)),
        **_ranged_or_not("elongation", elongation(yarn.fibre)),
        "regain": None if fibre is None else rounded(fibre.regain),
        "dry_share": None if fibre is None else rounded(1 / (1 + fibre.regain)),
    }


def _ranged(name: str, value: Valued) -> Facts:
    return {
        name: rounded(value.value),
        f"{name}_low": rounded(value.low),
        f"{name}_high": rounded(value.high),
        f"{name}_how": value.how,
    }


def _ranged_or_not(name: str, value: Valued | None) -> Facts:
    if value is None:
        return {name: None, f"{name}_low": None, f"{name}_high": None}
    ranged = _ranged(name, value)
    return {key: ranged[key] for key in (name, f"{name}_low", f"{name}_high")}


def kinds(piece: Piece) -> list[Facts]:
    """Every kind of unit: its sett against its strip."""
    draft = piece.draft
    rows = []
    for name in dict.fromkeys(unit.kind for unit in draft.units):
        kind = draft.kinds[name]
        strip = draft.strips[kind.strip]
        side_by_side = math.fsum(
            count * diameter_mm(y.count.tex, y.fibre, y.diameter_mm).value
            for count, y in ((count, draft.yarns[yarn]) for count, yarn in kind.ends)
        )
        rows.append(
            {
                "name": name,
                "ends": kind.end_count,
                "sett": rounded(kind.end_count / strip.width_mm * 10),
                "closest": rounded(kind.end_count / side_by_side * 10),
                "cover": rounded(side_by_side / strip.width_mm),
            }
        )
    return rows


def of_unit(piece: Piece, u: int) -> Facts:
    """What hangs on one unit, what the fell feels, what is left on its bobbin."""
    loom, bobbins, paths = piece.loom, piece.bobbins, piece.paths
    bands = float((paths.band_top_mm - paths.band_bottom_mm).sum())
    return {
        "ends": [rounded(end + bands, 2) for end in paths.ends_mm(u).sum(axis=0)],
        "mass": rounded(piece.weighed.units_g[u]),
        "hung": rounded(loom.handed.mass_g[u]),
        "share": rounded(loom.handed.share[u]),
        "fell_least": rounded(loom.least_n[u]),
        "fell_most": rounded(loom.most_n[u]),
        "left": [rounded(left, 1) for left in bobbins.left_mm[:, u]],
        "on_bobbin": [rounded(left, 1) for left in bobbins.on_bobbin_mm[:, u]],
        "bobbin_volume": rounded(bobbins.windings[u].volume_cm3),
        "runs_out": loom.letoff.runs_out[u],
    }


def of_span(piece: Piece, k: int) -> Facts:
    """How thick a span piles up, and how far its units lean in space."""
    steep = float(np.max(piece.paths.steep_mm[k], initial=0.0))
    return {
        "pile": rounded(piece.paths.pile_mm[k]),
        "lean_in_space": rounded(math.atan(steep / piece.draft.spans[k].height_mm)),
        "least_height": rounded(steep / math.tan(piece.draft.loom.lean_limit_rad)),
    }


def carried(piece: Piece) -> list[Facts]:
    """For each span: the side force that it can take, how far it swings, which units carry."""
    names, shares = piece.order.names, carrying(piece.draft, piece.rig, piece.holds)
    return [
        {
            "margin": rounded(hold.margin, 6),
            "side_force": rounded(hold.margin * hold.below_g / 1000 * GRAVITY, 6),
            "drift": rounded(hold.drift_mm),
            "carried_by": [name for name, share in zip(names, row, strict=True) if share > 0],
        }
        for hold, row in zip(piece.holds, shares.tolist(), strict=True)
    ]


def swung(piece: Piece) -> list[float | None]:
    """How far each band swings aside (mm), the drifts of spans added up from the top down."""
    return [rounded(x) for x in drifts_mm(piece.draft, piece.holds).tolist()]


def mass(piece: Piece) -> Facts:
    """What the finished piece weighs."""
    whole = piece.weighed
    return {
        "mass": rounded(whole.total_g),
        "mass_low": rounded(whole.low_g),
        "mass_high": rounded(whole.high_g),
    }


def winding(piece: Piece) -> Facts:
    """Which bobbins are wound alike, in which order."""
    plan = piece.winding
    names = piece.order.names
    return {
        "changes": plan.changes,
        "proved": plan.proved,
        "groups": [
            {
                "number": group.number,
                "kind": group.kind,
                "bobbins": [names[u] for u in group.units],
                "length": rounded(group.length_mm),
                "waste": rounded(group.waste),
                "changes": group.changes,
            }
            for group in plan.groups
        ],
    }


def loom(piece: Piece) -> Facts:
    """Weights, shed, the shared-weight limit, let-off."""
    state = piece.loom
    shed = state.shed
    return {
        "friction_how": state.friction_how,
        "spread": rounded(state.handed.spread),
        "weights_short": state.handed.short,
        "open_up": rounded(shed.open_up_mm),
        "open_down": rounded(shed.open_down_mm),
        "stretch": rounded(shed.stretch_mm),
        "warp_up": rounded(shed.warp_up_n),
        "warp_down": rounded(shed.warp_down_n),
        "springs_up": rounded(shed.springs_up_n),
        "springs_level": rounded(shed.springs_level_n),
        "springs_down": rounded(shed.springs_down_n),
        "chains": rounded(shed.chains_n),
        "hand": rounded(shed.hand_n),
        "warp_up_most": rounded(state.shed_most.warp_up_n),
        "chains_most": rounded(state.shed_most.chains_n),
        "hand_most": rounded(state.shed_most.hand_n),
        "shared": [
            {
                "name": kind,
                "limit": rounded(shared.limit_mm),
                "low": rounded(shared.low_mm),
                "high": rounded(shared.high_mm),
                "slack": shared.slack,
                "weight_rises": rounded(shared.weight_rises_mm),
                "hole_end": rounded(shared.hole_end_n),
                "free": rounded(shared.free_mm),
                "tension": rounded(shared.tension_n),
                "farther": rounded(shared.farther),
            }
            for kind, shared in state.shared.items()
        ],
        "letoff": [
            {
                "number": trip.span,
                "extra": trip.extra,
                "bobbins": [piece.order.names[u] for u in trip.units],
            }
            for trip in state.letoff.trips
        ],
    }


def price(piece: Piece) -> Facts:
    """The quote, in the currency's units; materials stay null while a price is missing."""
    quote = piece.quote()
    unit = 10**quote.minor
    low, likely, high = quote.hours

    def ranged(name: str, line: Line) -> Facts:
        return {
            name: line.likely / unit,
            f"{name}_low": line.low / unit,
            f"{name}_high": line.high / unit,
        }

    open_ = dict.fromkeys(
        ("overhead", "profit", "net", "tax", "total", "total_low", "total_high", "deposit")
    )
    closed = {
        "overhead": quote.overhead.likely / unit,
        "profit": quote.profit.likely / unit,
        "net": quote.net.likely / unit,
        "tax": quote.tax.likely / unit,
        **ranged("total", quote.total),
        "deposit": quote.deposit.likely / unit,
    }
    return {
        "currency": quote.currency,
        "materials": rounded(piece.amounts.price),
        "hours": rounded(likely),
        "hours_low": rounded(low),
        "hours_high": rounded(high),
        **ranged("work", quote.work),
        **(closed if quote.complete else open_),
        "markup": rounded(quote.markup),
        "margin": rounded(quote.margin),
        "valid_days": quote.valid_days,
    }

"""What weight does each unit want, and what tension does it really give?

Capstan equation (Euler, Eytelwein): over a beam with wrap θ and friction μ the fell has W e^(−μθ)
while the weight wins, W e^(+μθ) while warp is pulled forward; at rest anything between.
Source: published, e.g. Beer & Johnston, Statics. Checked: tests/outside/test_weights.py.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from crossfell.base.notes import Note, doubt
from crossfell.draft.model import Draft
from crossfell.materials.yarn import breaking_n
from crossfell.order.model import Floats

GRAVITY = 9.80665  # m/s², standard (definition)
LIMIT_SHARE = 0.10  # of the breaking load; common practice: 5 to 10 %


@dataclass(frozen=True, kw_only=True)
class LoomState:
    """Weights and tensions. Arrays are [units]."""

    weight_g: Floats  # hung on each unit, bobbin and all, for the tension asked for
    least_n: Floats  # tension of the unit at the fell while the weight wins
    most_n: Floats  # while warp is pulled forward
    notes: tuple[Note, ...]


def loom_of(draft: Draft) -> LoomState:
    """Weight (g) of each unit for the weaving tension of the draft, and both bounds of slip."""
    loom, warp = draft.loom, draft.warp
    tension = warp.tension_n if warp else 0.0
    ends = np.array([draft.kinds[unit.kind].end_count for unit in draft.units], dtype=np.float64)
    wanted = ends * tension
    slip = slip_ratio(loom.friction, loom.wrap_rad)
    return LoomState(
        weight_g=_fixed(wanted / GRAVITY * 1000),
        least_n=_fixed(wanted / slip),
        most_n=_fixed(wanted * slip),
        notes=_strained(draft, tension * slip),
    )


def slip_ratio(friction: float, wrap_rad: float) -> float:
    """Ratio of the tensions of both sides of a beam when the yarn slips, e^(μθ).

    Source: published, Euler and Eytelwein. Checked: tests/outside/test_weights.py.
    """
    return math.exp(friction * wrap_rad)


def _strained(draft: Draft, most_n: float) -> tuple[Note, ...]:
    notes = []
    used = {name for kind in draft.kinds.values() for _, name in kind.ends}
    for name in sorted(used):
        yarn = draft.yarns[name]
        breaking = breaking_n(yarn.count.tex, yarn.fibre, yarn.tenacity_n_per_tex)
        if most_n > LIMIT_SHARE * breaking.low and draft.warp:
            where = draft.warp.given.get("tension_n", yarn.where)
            facts = {
                "yarn": name,
                "tension": f"{most_n:.2g}",
                "breaking": f"{breaking.low:.2g}",
                "share": f"{LIMIT_SHARE:.0%}",
            }
            notes.append(doubt("too-much-tension", where, **facts))
    return tuple(notes)


def _fixed(array: Floats) -> Floats:
    array.setflags(write=False)
    return array

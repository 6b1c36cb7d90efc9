"""By which few springs is a unit of many ends stood for?

Each unit becomes three fibres: its outermost ends and its middle. They share its stiffness so that
its sum and its first moment are exact, and its second moment too wherever no share would fall below
zero: for a unit of like ends, tilting it is as hard as tilting all its ends. Where the ends of one
unit differ (linen and wool side by side) no three stand for them: then every end is its own fibre.
Source: derived (moments).
Checked: tests/statics/test_springs_and_balance.py, against the sum over all ends.
"""

from __future__ import annotations

import numpy as np

from crossfell.draft.model import Draft, UnitKind
from crossfell.materials.yarn import stiffness_n
from crossfell.statics.springs import Floats

FIBRES = 3  # left, middle, right


def fibres_of(draft: Draft) -> tuple[Floats, Floats, Floats]:
    """Offsets (mm), stiffness EA (N), strain on the loom, [units, fibres] each.

    Face forward, left to right in the loom's frame. Fibres are three, or as many as the unit of
    most ends has where ends of a unit differ; those that a unit has not pull nothing.
    """
    tension = draft.warp.tension_n if draft.warp else 0.0
    count = fibre_count(draft)
    made = {kind.name: _kind(draft, kind, tension, count) for kind in used_kinds(draft)}
    rows = [made[unit.kind] for unit in draft.units]
    offset, ea, strain = (np.array([row[i] for row in rows]).reshape(-1, count) for i in range(3))
    return offset, ea, strain


def used_kinds(draft: Draft) -> list[UnitKind]:
    """Kinds of the units that are in the warp."""
    return [draft.kinds[name] for name in dict.fromkeys(unit.kind for unit in draft.units)]


def fibre_count(draft: Draft) -> int:
    """How many springs stand for each unit in each span."""
    used = used_kinds(draft)
    unlike = any(len({end_stiffness_n(draft, yarn) for _, yarn in kind.ends}) > 1 for kind in used)
    return max(FIBRES, *(kind.end_count for kind in used)) if unlike else FIBRES


def parts_of(draft: Draft, kind: UnitKind, count: int) -> Floats:
    """What share of each end [ends, fibres] goes to each of `count` fibres."""
    if count == FIBRES:
        return shares_of(ends_x_mm(draft, kind))
    return np.eye(kind.end_count, count)


def end_stiffnesses_n(draft: Draft, kind: UnitKind) -> Floats:
    """EA (N) [ends] from left to right, face forward."""
    return np.concatenate([np.full(n, end_stiffness_n(draft, yarn)) for n, yarn in kind.ends])


def _kind(
    draft: Draft, kind: UnitKind, tension_n: float, count: int
) -> tuple[Floats, Floats, Floats]:
    x, share = ends_x_mm(draft, kind), parts_of(draft, kind, count)
    whole = share.T @ end_stiffnesses_n(draft, kind)
    strain = np.divide(share.T @ np.full(len(x), tension_n), whole,
                       out=np.zeros(count), where=whole > 0)  # fmt: skip
    edge = float(np.abs(x).max(initial=0.0))
    offset = np.array([-edge, 0.0, edge]) if count == FIBRES else np.pad(x, (0, count - len(x)))
    return offset, whole, strain


def ends_x_mm(draft: Draft, kind: UnitKind) -> Floats:
    """Offsets (mm) [ends] of the ends from the middle of their unit, face forward."""
    width, count = draft.strips[kind.strip].width_mm, kind.end_count
    x: Floats = (np.arange(count) + 0.5) * width / max(count, 1) - width / 2
    return x


def end_stiffness_n(draft: Draft, yarn: str) -> float:
    """EA (N) of one end of a yarn."""
    known = draft.yarns[yarn]
    return stiffness_n(known.count.tex, known.fibre, known.modulus_n_per_tex).value


def shares_of(x: Floats) -> Floats:
    """Share of each end at x (mm) [ends] that goes to the left, middle and right fibre.

    Between two fibres an end counts for both, nearer for more; that is exact in sum and first
    moment and too much in the second, so both edges give a like share back to the middle.
    """
    edge = float(np.abs(x).max(initial=0.0))
    if edge == 0.0:
        return np.tile([0.0, 1.0, 0.0], (len(x), 1))
    at = x / edge
    left, right = np.maximum(-at, 0.0), np.maximum(at, 0.0)
    share = np.stack([left, 1 - left - right, right], axis=1)
    surplus = float(np.sum(np.abs(at)) - np.sum(at * at)) / 2
    give = min(surplus, float(left.sum()), float(right.sum()))
    scale_left = 1 - give / left.sum()
    scale_right = 1 - give / right.sum()
    kept = np.stack([left * scale_left, 1 - left * scale_left - right * scale_right,
                     right * scale_right], axis=1)  # fmt: skip
    return kept if give > 0 else share

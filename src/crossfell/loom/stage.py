"""What hangs on each unit, what does the fell feel, and how does the shed behave?"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from crossfell.base.notes import Note, doubt
from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.loom.bobbins import Bobbins, free_length_mm
from crossfell.loom.combined import hand_out_together
from crossfell.loom.letoff import LetOff, let_off
from crossfell.loom.shared import Shared, hole_end_n, shared_note, shared_of
from crossfell.loom.shed import Shed, hole_ends_of, shed_notes, shed_of, stretch_mm
from crossfell.loom.tension import GRAVITY, at_the_fell_n, measured_by_howell
from crossfell.loom.weights import Handed
from crossfell.materials.yarn import Valued, breaking_n, stiffness_n
from crossfell.order.model import Floats
from crossfell.paths.model import Paths

LIMIT_SHARE = 0.10  # of the breaking load; common practice: 5 to 10 %


@dataclass(frozen=True, kw_only=True)
class LoomState:
    """Weights, tensions, shed and let-off. Arrays are [units] unless said otherwise."""

    weight_g: Floats  # to hang on each unit, bobbin and all, for the tension asked for
    handed: Handed  # the weights chosen, without the bobbins
    hangs_g: Floats  # [bands, units] weight and bobbin, as yarn leaves it
    tension_n: Floats  # of one end, weight and bobbin half empty, without friction
    least_n: Floats  # least tension of the unit at the fell: the weight wins
    most_n: Floats  # greatest: warp is pulled forward
    friction_how: str  # "measured" or "default"
    shed: Shed  # ends of a unit share its weight evenly
    shed_most: Shed  # ends cannot slip past each other: hole ends carry more
    shared: Mapping[str, Shared]  # by kind of unit
    letoff: LetOff
    notes: tuple[Note, ...]


def loom_of(draft: Draft, paths: Paths, bobbins: Bobbins) -> LoomState:
    """Work out the loom for a draft and its bobbins."""
    ends = np.array([draft.kinds[unit.kind].end_count for unit in draft.units], dtype=np.float64)
    tension = draft.warp.tension_n if draft.warp else 0.0
    wanted = ends * tension / GRAVITY * 1000
    bobbin = bobbins.mass_g.mean(axis=0) if len(bobbins.windings) else np.zeros(len(ends))
    handed = hand_out_together(wanted, bobbin, draft.loom.weights)
    hangs = handed.mass_g + bobbins.mass_g
    each = (handed.mass_g + bobbin) * GRAVITY / 1000 / ends
    least, most = at_the_fell_n(draft.loom, hangs * GRAVITY / 1000, ends)
    shed = shed_of(draft, each, each)
    shared = _shared(draft, each)
    a, b = draft.loom.fell_to_heddle_mm, draft.loom.heddle_to_back_mm
    up, down = (stretch_mm(way, a, b) for way in (draft.loom.rise_mm, draft.loom.sink_mm))
    travel = let_off(
        _drawn_mm(paths, bobbins),
        np.array([span.height_mm for span in draft.spans]),
        draft.loom.drop_mm,
        [bool(span.moves) for span in draft.spans],
    )
    most_each = np.max(most, axis=0) / ends
    notes = (
        *_strained(draft, most_each),
        *_short(draft, handed),
        *shed_notes(draft, shed),
        *shared_note(draft, shared),
        *_too_little_drop(draft, travel),
    )
    for array in (wanted, hangs, each, least, most):
        array.setflags(write=False)
    return LoomState(
        weight_g=wanted,
        handed=handed,
        hangs_g=hangs,
        tension_n=each,
        least_n=np.min(least, axis=0),
        most_n=np.max(most, axis=0),
        friction_how=_friction_how(draft),
        shed=shed,
        shed_most=shed_of(draft, _hole_ends_n(draft, each, up), _hole_ends_n(draft, each, down)),
        shared=shared,
        letoff=travel,
        notes=notes,
    )


def _friction_how(draft: Draft) -> str:
    given = "friction" in draft.loom.given or measured_by_howell(draft.loom)
    return "measured" if given else "default"


def _drawn_mm(paths: Paths, bobbins: Bobbins) -> Floats:
    """Warp drawn forward by each span and the band after it [spans, units]; band 1 by span 1."""
    left = bobbins.left_mm
    drawn = -np.diff(left, axis=0)
    if len(drawn):
        height = paths.band_top_mm[0] - paths.band_bottom_mm[0]
        takeup = np.array([wound.takeup_mm for wound in bobbins.windings]) / len(left)
        drawn[0] += height + takeup
    drawn.setflags(write=False)
    return drawn


def _hole_ends_n(draft: Draft, tension_n: Floats, stretch: float) -> Floats:
    """Tension [units] of a hole end stretched by `stretch` (mm), if ends cannot slip."""
    free = free_length_mm(draft.loom)
    holes = hole_ends_of(draft)
    k = {kind: mean_stiffness_n(draft, kind)[0] for kind in {u.kind for u in draft.units}}
    out = np.array(tension_n)
    for u, unit in enumerate(draft.units):
        share = float(holes[u]) / draft.kinds[unit.kind].end_count
        if 0 < share < 1:
            out[u] = hole_end_n(float(tension_n[u]), k[unit.kind] * stretch / free, share)
    return out


def _shared(draft: Draft, tension_n: Floats) -> dict[str, Shared]:
    """The shared-weight limit of every kind of unit, at the least tension of its units."""
    holes, free = hole_ends_of(draft), free_length_mm(draft.loom)
    found: dict[str, Shared] = {}
    for kind in sorted({unit.kind for unit in draft.units}):
        own = [u for u, unit in enumerate(draft.units) if unit.kind == kind]
        ends = draft.kinds[kind].end_count
        share = float(holes[own[0]]) / ends
        if not 0 < share < 1 or tension_n[own].min() <= 0:
            continue
        found[kind] = shared_of(
            draft,
            tension_n=float(tension_n[own].min()),
            stiffness_n=mean_stiffness_n(draft, kind),
            free_mm=free,
            holes=share,
        )
    return found


def mean_stiffness_n(draft: Draft, kind: str) -> tuple[float, float, float]:
    """EA (N) of a mean end of a kind: likely, low, high."""
    rows: list[tuple[int, Valued]] = []
    for count, name in draft.kinds[kind].ends:
        yarn = draft.yarns[name]
        rows.append((count, stiffness_n(yarn.count.tex, yarn.fibre, yarn.modulus_n_per_tex)))
    ends = sum(count for count, _ in rows)
    return (
        math.fsum(count * value.value for count, value in rows) / ends,
        math.fsum(count * value.low for count, value in rows) / ends,
        math.fsum(count * value.high for count, value in rows) / ends,
    )


def _strained(draft: Draft, most_n: Floats) -> list[Note]:
    """Yarns whose ends may carry more at the fell than a usual share of their breaking load."""
    strain: dict[str, float] = {}
    for unit, tension in zip(draft.units, most_n.tolist(), strict=True):
        for _, name in draft.kinds[unit.kind].ends:
            strain[name] = max(strain.get(name, 0.0), tension)
    notes = []
    for name in sorted(strain):
        yarn = draft.yarns[name]
        breaking = breaking_n(yarn.count.tex, yarn.fibre, yarn.tenacity_n_per_tex)
        if strain[name] > LIMIT_SHARE * breaking.low and draft.warp:
            where = draft.warp.given.get("tension_n", yarn.where)
            facts = {
                "yarn": name,
                "tension": f"{strain[name]:.2g}",
                "breaking": f"{breaking.low:.2g}",
                "share": f"{LIMIT_SHARE:.0%}",
            }
            notes.append(doubt("too-much-tension", where, **facts))
    return notes


def _short(draft: Draft, handed: Handed) -> list[Note]:
    if not handed.short:
        return []
    loom = draft.loom
    owned = ", ".join(f"{count} of {mass:g} g" for mass, count in sorted(loom.weights))
    facts = {"units": handed.short, "owned": owned, "least": f"{handed.mass_g.min():.0f}",
             "most": f"{handed.mass_g.max():.0f}"}  # fmt: skip
    return [doubt("weights-short", loom.given.get("weights", loom.where), **facts)]


def _too_little_drop(draft: Draft, travel: LetOff) -> list[Note]:
    if not travel.too_long:
        return []
    span = travel.too_long[0]
    facts = {
        "span": span,
        "drawn": written(float(travel.drawn_mm[span - 1].max()), draft.measure),
        "drop": written(draft.loom.drop_mm, draft.measure),
    }
    where = draft.spans[span - 1].given.get("height_mm", draft.spans[span - 1].where)
    return [doubt("drop-too-short", where, **facts)]

"""Does each span hold as drawn, or does it swing when the piece is cut down?

Cut the hanging piece through a span: all below is a free body. Tensions N_i ≥ 0 along the drawn
directions must carry its weight W: Σ N_i n_i = (0, W), and no moment about its mass centre.
Divided by the vertical parts this says: the point (0, 0) lies in the convex hull of the points
(tan lean_i, x_i − x_c), x_i where unit i meets the lower band and x_c the mass centre of all
below. The hull's reach along the line of no moment is the side force, as a share of W, that the
span can still take. Source: derived. Checked: scipy's NNLS and linear programs, tests/outside.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.base.notes import Note, doubt
from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.materials.tables import rod_material
from crossfell.order.model import Floats, Ints
from crossfell.paths.model import Paths

BARELY = 0.01  # of the weight below: a span that takes less side force sways at a touch


@dataclass(frozen=True, kw_only=True)
class SpanHold:
    """How one span carries what is below it."""

    number: int
    state: str  # "holds", "barely" or "swings"
    margin: float  # side force it can take, as a share of the weight below; < 0: it swings
    drift_mm: float  # how far its lower band would swing, right positive, in the wall's frame
    below_g: float  # mass below

    @property
    def holds(self) -> bool:
        """Whether the rods can stay where they are drawn."""
        return self.state != "swings"


def holds_of(draft: Draft, paths: Paths) -> tuple[SpanHold, ...]:
    """Test every span, in weaving order. Vectors are taken in the frame of the hung piece."""
    tangent, x, mass = cuts_of(draft, paths)
    low, high = reach(tangent, x)
    margin = np.minimum(-low, high)
    swings = margin < -1e-9
    height = np.array([span.height_mm for span in draft.spans])
    drift = np.where(swings, height * np.where(low > 0, low, high), 0.0)
    state = np.where(swings, "swings", np.where(margin < BARELY, "barely", "holds"))
    columns = (state.tolist(), margin.tolist(), drift.tolist(), mass.tolist())
    return tuple(
        SpanHold(number=span.number, state=word, margin=side, drift_mm=way, below_g=below)
        for span, word, side, way, below in zip(draft.spans, *columns, strict=True)
    )


def cuts_of(draft: Draft, paths: Paths) -> tuple[Floats, Floats, Floats]:
    """Tan lean, x − x of the mass centre below (mm), both [spans, units]; mass below (g) [spans].

    Leans go from the lower band upwards, right positive on the wall; x is where units meet it.
    """
    wall, spans = draft.on_wall(), np.arange(len(draft.spans))
    mass, centre = _below(draft, paths)
    x = wall.side(paths.x_mm[spans + wall.below(0)] - centre[:, None])
    tangent: Floats = np.tan(paths.lean_rad)
    return tangent, x, mass


def drifts_mm(draft: Draft, holds: tuple[SpanHold, ...]) -> Floats:
    """How far each band [bands] would swing, right positive: drifts add up from the top down."""
    drift = np.array([hold.drift_mm for hold in holds])
    down = draft.on_wall().downwards
    return np.concatenate([[0.0], np.cumsum(drift[down])])[down]


def hold_notes(draft: Draft, holds: tuple[SpanHold, ...]) -> tuple[Note, ...]:
    """A doubt for each span that swings."""
    return tuple(
        doubt(
            "swings",
            draft.spans[k].where,
            span=hold.number,
            drift=written(abs(hold.drift_mm), draft.measure),
            side="right" if hold.drift_mm > 0 else "left",
        )
        for k, hold in enumerate(holds)
        if not hold.holds
    )


def reach(tangent: Floats, x: Floats) -> tuple[Floats, Floats]:
    """Least and greatest first coordinate [spans] of the hulls of points (tangent, x) where x = 0.

    `tangent` and `x` are [spans, units]. When the line misses the hull (every unit on one side of
    the mass centre), the nearest point of the hull decides, and both ends are beyond any lean:
    (1, −1), which swings.
    """
    low, high = -_farthest(-tangent, x), _farthest(tangent, x)
    misses = high == -np.inf
    return np.where(misses, 1.0, low), np.where(misses, -1.0, high)


def _farthest(tangent: Floats, x: Floats) -> Floats:
    """Greatest first coordinate of the hulls where x = 0 [spans]; −∞ where they do not reach it.

    The edge of the hull that crosses the line joins a unit right of it to one left of it. From
    either end the other is found as the one that crosses farthest out, in turns: where neither
    changes any more all units lie on one side of the edge. Every turn but the last goes farther.
    """
    right, left = x > 0, x < 0
    farthest: Floats = np.max(np.where(x == 0, tangent, -np.inf), axis=1, initial=-np.inf)
    both = np.flatnonzero(right.any(axis=1) & left.any(axis=1))
    tangent, x, right, left = tangent[both], x[both], right[both], left[both]
    end = np.argmax(np.where(right, tangent, -np.inf), axis=1)
    out = np.full(len(both), -np.inf)
    while len(both):
        end, _ = _across(tangent, x, end, left)
        end, found = _across(tangent, x, end, right)
        if not (found > out).any():
            break
        out = np.maximum(out, found)
    farthest[both] = np.maximum(farthest[both], out)
    return farthest


def _across(
    tangent: Floats, x: Floats, end: Ints, others: NDArray[np.bool_]
) -> tuple[Ints, Floats]:
    """Which of the others crosses x = 0 farthest out from one end [spans], and how far."""
    span = np.arange(len(end))
    from_tangent, from_x = tangent[span, end][:, None], x[span, end][:, None]
    gap = np.where(others, from_x - x, 1.0)  # they lie on the other side: never nothing
    crossing = np.where(others, from_tangent + from_x / gap * (tangent - from_tangent), -np.inf)
    other = np.argmax(crossing, axis=1)
    return other, crossing[span, other]


def masses_g(draft: Draft, paths: Paths) -> tuple[Floats, Floats]:
    """Mass (g) of each unit per mm [units], and of each band's rods and weft [bands]."""
    per_mm = np.array(
        [
            sum(n * draft.yarns[y].count.tex * 1e-6 for n, y in draft.kinds[u.kind].ends)
            for u in draft.units
        ]
    )
    length = paths.width_total_mm + 2 * draft.stock.overhang_mm
    bands = np.zeros(len(draft.bands))
    for b, band in enumerate(draft.bands):
        weft = band.weft or next(iter(draft.yarns), "")
        if weft:
            bands[b] += band.pick_count * paths.width_total_mm * draft.yarns[weft].count.tex * 1e-6
        material = rod_material(band.rod.material) if band.rod else None
        if band.rod and material:
            area = np.pi * band.rod.diameter_mm**2 / 4
            bands[b] += band.rod_count * area * length * material.density * 1e-6
    return per_mm, bands


def _below(draft: Draft, paths: Paths) -> tuple[Floats, Floats]:
    """Mass (g) and mass centre x (mm, loom frame) of all that hangs below each span [spans]."""
    per_mm, rods = masses_g(draft, paths)
    yarn = paths.length_mm * per_mm
    middle = (paths.x_mm[1:] + paths.x_mm[:-1]) / 2
    span_mass, span_moment = yarn.sum(axis=1), (yarn * middle).sum(axis=1)
    thick = (paths.band_top_mm - paths.band_bottom_mm)[:, None] * per_mm
    band_mass = rods + thick.sum(axis=1)
    band_moment = rods * paths.width_total_mm / 2 + (thick * paths.x_mm).sum(axis=1)
    # a span's own yarn is carried half by itself: half of it counts as below
    up = draft.on_wall().upwards
    mass = _sums(band_mass[up], span_mass[up])[up]
    moment = _sums(band_moment[up], span_moment[up])[up]
    with np.errstate(divide="ignore", invalid="ignore"):
        centre = np.where(mass > 0, moment / mass, paths.width_total_mm / 2)
    return mass, centre


def _sums(bands: Floats, spans: Floats) -> Floats:
    """For each span: all bands and spans before it, and half of itself."""
    before = np.concatenate(([0.0], np.cumsum(spans)[:-1]))
    total: Floats = np.cumsum(bands)[:-1] + before + spans / 2
    return total

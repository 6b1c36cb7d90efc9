"""Can each span, and the cords, carry what is below as drawn, or does it swing when cut down?

Cut the hanging piece through a span: all below is a free body. Tensions N_i ≥ 0 along the drawn
directions must carry its weight W: Σ N_i n_i = (0, W), and no moment about its mass centre.
Divided by the vertical parts this says: the point (0, 0) lies in the convex hull of the points
(tan lean_i, x_i − x_c), x_i where fibre i meets the lower band and x_c the mass centre of all
below. The hull's reach along the line of no moment is the side force, as a share of W, that the
span can still take. Each unit counts with its two edges and its middle, so that a turned one has
an inner and an outer edge. Cords are tested as one more span, above all others.

It answers while she drags, and explains; how the piece will hang is the word of verdict.py: what
is carried can still settle, by what weaving tension lets go.
Source: derived. Checked: scipy's NNLS and linear programs, tests/outside.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.base.notes import Note, doubt
from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.loom.tension import GRAVITY
from crossfell.order.model import Floats, Ints
from crossfell.statics.balance import Rig
from crossfell.statics.springs import Springs

BARELY = 0.01  # of the weight below: a span that takes less side force sways at a touch
CORDS = 0  # the number by which the cords are called among spans


@dataclass(frozen=True, kw_only=True)
class SpanHold:
    """How one span carries what is below it."""

    number: int
    state: str  # "carried", "barely" or "swings"
    margin: float  # side force it can take, as a share of the weight below; < 0: none
    drift_mm: float  # how far its lower band would swing, right positive, in the wall's frame
    below_g: float  # mass below
    beside: bool = False  # the mass below hangs beside everything that could carry it: it tips

    @property
    def holds(self) -> bool:
        """Whether the rods can stay where they are drawn."""
        return self.state != "swings"


@dataclass(frozen=True, kw_only=True)
class Cuts:
    """Spans cut through, in the frame of the hung piece."""

    tangent: Floats  # [spans, fibres] tan lean, from the lower band upwards, right positive
    x_mm: Floats  # [spans, fibres] where a fibre meets the lower band, from the mass centre below
    below_n: Floats  # [spans] weight below


def cuts_of(rig: Rig) -> Cuts:
    """Cut every span, from the top down; half of a span's own yarn counts as below."""
    weight = np.cumsum(rig.weight_n[::-1])[::-1][1:]
    moment = np.cumsum(rig.moment_x[::-1])[::-1][1:]
    return _cut(rig.spans, weight, moment)


def _cut(springs: Springs, weight: Floats, moment: Floats) -> Cuts:
    centre = np.divide(moment, weight, out=np.zeros_like(moment), where=weight > 0)
    return Cuts(
        tangent=springs.dx / springs.dy, x_mm=springs.below_x - centre[:, None], below_n=weight
    )


def holds_of(draft: Draft, rig: Rig) -> tuple[SpanHold, ...]:
    """Test every span, in weaving order."""
    cuts = cuts_of(rig)
    height = -rig.spans.dy.max(axis=1)
    down = draft.on_wall().downwards
    numbers = [span.number for span in draft.spans][down]
    return _judged(numbers, cuts, height, draft.hang.as_drawn_mm)[down]


def cords_hold(draft: Draft, rig: Rig) -> SpanHold | None:
    """Test the cords as if they were a span; none on a rail."""
    if rig.cords is None:
        return None
    whole = np.array([rig.total_n]), np.array([rig.moment_x.sum()])
    cut = _cut(rig.cords, *whole)
    height = -rig.cords.dy.min(axis=1)
    return _judged([CORDS], cut, height, draft.hang.as_drawn_mm)[0]


def _judged(numbers: list[int], cuts: Cuts, height: Floats, seen_mm: float) -> tuple[SpanHold, ...]:
    low, high = reach(cuts.tangent, cuts.x_mm)
    beside = (low == BESIDE) & (high == -BESIDE)
    margin = np.minimum(-low, high)
    drift = np.where(margin < -1e-9, height * np.where(low > 0, low, high), 0.0)
    drift[beside] = 0.0
    swings = beside | (np.abs(drift) > seen_mm)
    state = np.where(swings, "swings", np.where(margin < BARELY, "barely", "carried"))
    grams = cuts.below_n / GRAVITY * 1000
    columns = (numbers, state.tolist(), margin.tolist(), drift.tolist(), grams.tolist(),
               beside.tolist())  # fmt: skip
    return tuple(
        SpanHold(number=n, state=word, margin=side, drift_mm=way, below_g=below, beside=tips)
        for n, word, side, way, below, tips in zip(*columns, strict=True)
    )


def drifts_mm(draft: Draft, holds: tuple[SpanHold, ...]) -> Floats:
    """How far each band [bands] would swing, right positive: drifts add up from the top down."""
    drift = np.array([hold.drift_mm for hold in holds])
    down = draft.on_wall().downwards
    return np.concatenate([[0.0], np.cumsum(drift[down])])[down]


def hold_notes(draft: Draft, holds: tuple[SpanHold, ...]) -> tuple[Note, ...]:
    """A doubt for each span that swings."""
    return tuple(_hold_note(draft, hold) for hold in holds if not hold.holds)


def _hold_note(draft: Draft, hold: SpanHold) -> Note:
    where = draft.spans[hold.number - 1].where
    if hold.beside:
        return doubt("tips", where, span=hold.number)
    drift = written(abs(hold.drift_mm), draft.measure)
    side = "right" if hold.drift_mm > 0 else "left"
    return doubt("swings", where, span=hold.number, drift=drift, side=side)


BESIDE = 1.0  # what `reach` gives, turned round, where the line misses the hull


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

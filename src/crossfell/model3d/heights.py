"""How far in front of each other do crossing units pass, over their whole widths?

The paths know where centre lines run in space. Ribbons are wide: wherever two of them cover each
other, the upper one lies in front of the lower by both their half depths and a little air. From the
centre lines on, pushes apart and smoothing take turns, and pushes have the last word. A shape to
look at, not a computed equilibrium.
Source: derived; projection onto pairwise constraints is common practice.
Checked: tests/model3d/test_crossing_heights.py.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.order.model import Ints, Order
from crossfell.paths.model import Floats

SAMPLES = 25  # along a span, both ends included
AIR_MM = 0.3  # between two ribbons that cross
SMOOTHINGS, PUSHES = 30, 200
CLOSE_MM = 0.02  # pushes end when nothing is nearer than wanted by more than this
SHRINKS = (1.0, 0.5, 0.2)  # share of a crossing that is kept apart where all of it cannot be


@dataclass(frozen=True, kw_only=True)
class Heights:
    """Height of every centre line, and how much too near the nearest two still are."""

    z_mm: Floats  # [spans, units, SAMPLES] towards the viewer
    short_mm: float  # 0 when every crossing has its room


@dataclass(frozen=True, kw_only=True)
class Crossed:
    """Crossings, each with the samples before and after it; arrays are [crossings]."""

    span: Ints
    over: Ints
    under: Ints
    near: NDArray[np.bool_]  # [crossings, SAMPLES] nearer to it than to the pair's other crossings


def crossed(order: Order, x_mm: Floats) -> Crossed:
    """Crossings of centre lines `x_mm` [spans, units, SAMPLES], with who is in front.

    The n-th crossing of a pair that no other undoes is the n-th time that its lines meet. One for
    which the lines do not meet is left out.
    """
    units = len(order.names)
    kept = [sorted(i for part in span.passes for i in part) for span in order.spans]
    spans = [np.full(len(which), k) for k, which in enumerate(kept)]
    each = list(zip(order.spans, kept, strict=True))
    span = np.concatenate([*spans, np.empty(0)]).astype(np.int64)
    over = np.concatenate([*(s.over[w] for s, w in each), np.empty(0)]).astype(np.int64)
    under = np.concatenate([*(s.under[w] for s, w in each), np.empty(0)]).astype(np.int64)
    pair = (span * units + np.minimum(over, under)) * units + np.maximum(over, under)
    turn = _turns(pair)
    left = x_mm[span, over] < x_mm[span, under]
    changes = np.diff(left.astype(np.int8), axis=1) != 0
    passed = np.concatenate([np.zeros((len(pair), 1)), np.cumsum(changes, axis=1)], axis=1)
    meets = passed[:, -1] > turn
    near = _nearest_to(changes, turn) & meets[:, None]
    return Crossed(span=span[meets], over=over[meets], under=under[meets], near=near[meets])


def _turns(pair: Ints) -> Ints:
    """How many earlier rows have the same value."""
    order = np.argsort(pair, kind="stable")
    same = pair[order]
    fresh = np.concatenate([[True], same[1:] != same[:-1]])[: len(same)]
    starts = np.maximum.accumulate(np.where(fresh, np.arange(len(same)), 0))
    turn = np.empty(len(pair), dtype=np.int64)
    turn[order] = np.arange(len(same)) - starts
    return turn


def _nearest_to(changes: NDArray[np.bool_], turn: Ints) -> NDArray[np.bool_]:
    """Samples [rows, SAMPLES] that are nearest to the `turn`-th change of their row."""
    near = np.ones((len(turn), SAMPLES), dtype=bool)
    for row in np.flatnonzero(changes.sum(axis=1) > 1):
        at = np.flatnonzero(changes[row]) + 0.5
        nearest = np.abs(np.arange(SAMPLES)[:, None] - at).argmin(axis=1)
        near[row] = nearest == turn[row]
    return near


def heights_of(
    pairs: Crossed, x_mm: Floats, z_mm: Floats, width_mm: Floats, depth_mm: Floats
) -> Heights:
    """Heights of all units in all spans, from the centre lines' on.

    Arrays are [spans, units, SAMPLES]: centre lines `x_mm` and `z_mm`, the level width of each
    ribbon, and how deep it is from front to back.
    """
    z, short = z_mm.copy(), 0.0
    if len(pairs.span):
        apart = depth_mm[pairs.span, pairs.over] + depth_mm[pairs.span, pairs.under]
        for share in SHRINKS:
            where = _covering(pairs, x_mm, share * width_mm)
            z, short = _parted(pairs, where, apart / 2 + AIR_MM, z_mm)
            if short <= CLOSE_MM:
                short = 0.0
                break
    z.setflags(write=False)
    return Heights(z_mm=z, short_mm=short)


def _covering(pairs: Crossed, x_mm: Floats, width_mm: Floats) -> NDArray[np.bool_]:
    """[crossings, SAMPLES] where the two cover each other, and one sample more at either end."""
    k, a, b = pairs.span, pairs.over, pairs.under
    covers = np.abs(x_mm[k, a] - x_mm[k, b]) < (width_mm[k, a] + width_mm[k, b]) / 2 + 0.1
    covers &= pairs.near
    covers[:, 1:-1] |= covers[:, 2:] | covers[:, :-2]
    covers[:, [0, -1]] = False
    return covers


def _parted(
    pairs: Crossed, where: NDArray[np.bool_], apart: Floats, start: Floats
) -> tuple[Floats, float]:
    units = start.shape[1]
    pair, at = np.nonzero(where)
    over = (pairs.span[pair] * units + pairs.over[pair]) * SAMPLES + at
    under = (pairs.span[pair] * units + pairs.under[pair]) * SAMPLES + at
    wanted = apart[pair, at]
    z, size, short = start.ravel().copy(), start.size, 0.0
    for turn in range(SMOOTHINGS + PUSHES):
        if turn < SMOOTHINGS:
            rows = z.reshape(-1, SAMPLES)
            rows[:, 1:-1] = 0.5 * rows[:, 1:-1] + 0.25 * (rows[:, 2:] + rows[:, :-2])
        lacking = np.maximum(wanted - (z[over] - z[under]), 0.0)
        short = float(lacking.max(initial=0.0))
        if turn >= SMOOTHINGS and short <= CLOSE_MM:
            break
        pushing = (lacking > 0).astype(np.float64)
        share = np.bincount(over, pushing, size) + np.bincount(under, pushing, size)
        push = np.bincount(over, lacking, size) - np.bincount(under, lacking, size)
        z += 0.5 * push / np.maximum(np.sqrt(share), 1.0)
    return z.reshape(start.shape), short

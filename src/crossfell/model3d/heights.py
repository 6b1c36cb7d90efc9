"""How far in front of each other do crossing units pass?

Between two bands a unit runs on its straight chord, seen from the front; towards the viewer it
bends as far as the crossings ask. Wherever two crossing ribbons cover each other, the upper one
lies in front of the lower by both their half depths and a little air. Pushes apart and smoothing
take turns, and pushes have the last word. A shape to look at, not a computed equilibrium.
Source: derived; projection onto pairwise constraints is common practice.
Checked: tests/model3d/test_heights.py.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

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
    """Pairs that change sides on their chords; arrays are [pairs]."""

    span: Ints
    over: Ints
    under: Ints


def crossed(order: Order, x_mm: Floats) -> Crossed:
    """Pairs whose chords cross, with who is in front.

    A pair that crosses twice in one span is back where it was: its chords do not meet.
    """
    spans = [np.full(len(span.over), k) for k, span in enumerate(order.spans)]
    span = np.concatenate([*spans, np.empty(0)]).astype(np.int64)
    over = np.concatenate([*(s.over for s in order.spans), np.empty(0)]).astype(np.int64)
    under = np.concatenate([*(s.under for s in order.spans), np.empty(0)]).astype(np.int64)
    before = x_mm[span, over] - x_mm[span, under]
    after = x_mm[span + 1, over] - x_mm[span + 1, under]
    meets = before * after < 0
    low, high = np.minimum(over, under), np.maximum(over, under)
    units = x_mm.shape[1]
    key = (span * units + low) * units + high
    _, first = np.unique(key[meets], return_index=True)
    return Crossed(span=span[meets][first], over=over[meets][first], under=under[meets][first])


def heights_of(
    order: Order, x_mm: Floats, width_mm: Floats, thick_mm: Floats, angle_rad: Floats
) -> Heights:
    """Heights of all units in all spans.

    `x_mm` [bands, units], `width_mm` and `thick_mm` [units], `angle_rad` [spans, units, SAMPLES]
    the angle of each ribbon's face from the viewer's direction.
    """
    spans, units = len(order.spans), len(order.names)
    z = np.zeros((spans, units, SAMPLES))
    pairs = crossed(order, x_mm)
    short = 0.0
    if len(pairs.span):
        for share in SHRINKS:
            where = _covering(pairs, x_mm, width_mm, angle_rad, share)
            z, short = _parted(pairs, where, _apart(pairs, width_mm, thick_mm, angle_rad), z.shape)
            if short <= CLOSE_MM:
                short = 0.0
                break
    z.setflags(write=False)
    return Heights(z_mm=z, short_mm=short)


def _covering(
    pairs: Crossed, x_mm: Floats, width_mm: Floats, angle_rad: Floats, share: float
) -> np.ndarray:
    """[pairs, SAMPLES] where the two ribbons cover each other, one sample more at either end."""
    u = np.linspace(0, 1, SAMPLES)
    k, a, b = pairs.span, pairs.over, pairs.under
    start, end = x_mm[k, a] - x_mm[k, b], x_mm[k + 1, a] - x_mm[k + 1, b]
    apart = np.abs(start[:, None] + (end - start)[:, None] * u)
    wide = np.abs(np.cos(angle_rad))
    reach = (width_mm[a, None] * wide[k, a] + width_mm[b, None] * wide[k, b]) / 2
    covers = apart < share * reach + 0.1
    covers[:, 1:-1] |= covers[:, 2:] | covers[:, :-2]
    covers[:, [0, -1]] = False
    return covers


def _apart(pairs: Crossed, width_mm: Floats, thick_mm: Floats, angle_rad: Floats) -> Floats:
    """[pairs, SAMPLES] how far apart the two centre lines must be."""
    deep = np.abs(np.sin(angle_rad)) * width_mm[:, None] / 2
    deep = deep + np.abs(np.cos(angle_rad)) * thick_mm[:, None] / 2
    apart: Floats = deep[pairs.span, pairs.over] + deep[pairs.span, pairs.under] + AIR_MM
    return apart


def _parted(
    pairs: Crossed, where: np.ndarray, apart: Floats, shape: tuple[int, ...]
) -> tuple[Floats, float]:
    units = shape[1]
    pair, at = np.nonzero(where)
    over = (pairs.span[pair] * units + pairs.over[pair]) * SAMPLES + at
    under = (pairs.span[pair] * units + pairs.under[pair]) * SAMPLES + at
    wanted = apart[pair, at]
    size = int(np.prod(shape))
    z = np.zeros(size)
    short = 0.0
    for turn in range(SMOOTHINGS + PUSHES):
        if turn < SMOOTHINGS:
            rows = z.reshape(-1, SAMPLES)
            rows[:, 1:-1] = 0.5 * rows[:, 1:-1] + 0.25 * (rows[:, 2:] + rows[:, :-2])
        lacking = np.maximum(wanted - (z[over] - z[under]), 0.0)
        short = float(lacking.max())
        if turn >= SMOOTHINGS and short <= CLOSE_MM:
            break
        pushing = (lacking > 0).astype(np.float64)
        share = np.bincount(over, pushing, size) + np.bincount(under, pushing, size)
        push = np.bincount(over, lacking, size) - np.bincount(under, lacking, size)
        z += 0.5 * push / np.maximum(np.sqrt(share), 1.0)
    return z.reshape(shape), short

"""How does it sway: at a touch, in a draught, and how slowly does it swing?

A touch pushes the lowest rod sideways, and the piece comes to rest anew: never farther than its
geometry allows. A draught swings it out of its plane, where nothing holds it but its weight: a
chain of straight links, each as steep as what hangs below it. Periods are those of small swings.
What pushes how hard is common practice, no source; drag of a flat plate 1.2 and air 1.2 kg/m³ are
from memory. Source: derived, docs/mechanics.md. Checked: tests/outside/test_hung_pendulums.py.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from crossfell.loom.tension import GRAVITY
from crossfell.statics.balance import Rig
from crossfell.statics.banded import Blocks, banded, lowest_eigenvalue
from crossfell.statics.newton import Rest, rest_of
from crossfell.statics.springs import Floats

TOUCH = 0.1  # of the weight, sideways at the lowest rod
DRAUGHT_M_S = 1.0
DRAG = 0.6 * 1.2 * DRAUGHT_M_S**2 * 1e-6  # N on each mm² that stands in it


@dataclass(frozen=True, kw_only=True)
class Sway:
    """What a touch and a draught do."""

    touch_n: float
    touched_mm: float | None  # sideways at the lowest rod; None: it came to no rest
    draught_n: float
    blown_mm: float  # out of the plane at the lowest rod
    aside_s: float | None  # slowest period in the plane; None: nothing holds it there
    out_s: float  # slowest period out of the plane


def sway_of(rig: Rig, rest: Rest, covered_mm2: Floats) -> Sway:
    """Sway of a rig at rest; `covered_mm2` [spans from the top] is what stands in a draught."""
    push = TOUCH * rig.total_n
    drawn = touched_mm(rig, rest, push)
    return Sway(touch_n=push, touched_mm=drawn, draught_n=DRAG * float(covered_mm2.sum()),
                blown_mm=blown_mm(rig, DRAG * covered_mm2), aside_s=aside_s(rig, rest),
                out_s=out_s(rig))  # fmt: skip


def touched_mm(rig: Rig, rest: Rest, push_n: float) -> float | None:
    """How far a push sideways moves the lowest rod: the farther of both sides."""
    found = []
    for sign in (-1.0, 1.0):
        side = np.zeros(rig.bands)
        side[-1] = sign * push_n
        pushed = rest_of(replace(rig, side_n=side), rest.pose)
        if not pushed.converged:
            return None
        found.append(abs(float(pushed.pose[-1, 0] - rest.pose[-1, 0])))
    return max(found)


def links(rig: Rig) -> tuple[Floats, Floats, Floats]:
    """Lengths of the links (mm), what hangs on each (N), weight of each knot (N); from the top.

    A link is a span with half of the band on either side; a cord is the first, a rail is none.
    """
    s = rig.spans
    height = -s.dy.mean(axis=1) - s.above_y + s.below_y
    below = rig.total_n - np.cumsum(rig.weight_n)[:-1]
    if rig.cords is None:
        return height, below, rig.weight_n[1:]
    cord = float(-rig.cords.dy.mean())
    return np.concatenate([[cord], height]), np.concatenate([[rig.total_n], below]), rig.weight_n


def blown_mm(rig: Rig, force_n: Floats) -> float:
    """How far out of the plane the lowest rod goes for a force on each span [spans]."""
    height, below, _ = links(rig)
    on_span = np.cumsum(force_n[::-1])[::-1] - force_n / 2
    pushed = on_span if rig.cords is None else np.concatenate([[force_n.sum()], on_span])
    return float(np.sum(height * np.sin(np.arctan2(pushed, below))))


def out_s(rig: Rig) -> float:
    """Slowest period (s) out of the plane: masses on a chain of straight links."""
    height, below, weight = links(rig)
    stiff, count = below / height, len(height)
    matrix = np.diag(stiff) + np.diag(np.append(stiff[1:], 0.0))
    matrix[np.arange(count - 1), np.arange(1, count)] = -stiff[1:]
    matrix[np.arange(1, count), np.arange(count - 1)] = -stiff[1:]
    scale = 1 / np.sqrt(weight / (1000 * GRAVITY))
    lowest = float(np.linalg.eigvalsh(scale[:, None] * matrix * scale)[0])
    return 2 * math.pi / math.sqrt(lowest)


def aside_s(rig: Rig, rest: Rest) -> float | None:
    """Slowest period (s) in the plane, from the stiffness at rest and the masses of the bands."""
    free = slice(1, None) if rig.cords is None else slice(None)
    root = np.linalg.inv(np.linalg.cholesky(_masses(rig, rest)[free]))
    on = root @ rest.stiffness.on[free] @ root.transpose(0, 2, 1)
    off = root[:-1] @ rest.stiffness.off[free] @ root[1:].transpose(0, 2, 1)
    lowest = lowest_eigenvalue(banded(Blocks(on=on, off=off)))
    return 2 * math.pi / math.sqrt(lowest) if lowest > 0 else None


def _masses(rig: Rig, rest: Rest) -> Floats:
    """Mass matrix [bands, 3, 3] of each band about its rod's middle, as it is tilted."""
    tilt = rest.pose[:, 2]
    right = np.cos(tilt) * rig.moment_x - np.sin(tilt) * rig.moment_y
    up = np.sin(tilt) * rig.moment_x + np.cos(tilt) * rig.moment_y
    mass = np.zeros((rig.bands, 3, 3))
    mass[:, 0, 0] = mass[:, 1, 1] = rig.weight_n
    mass[:, 0, 2] = mass[:, 2, 0] = -up
    mass[:, 1, 2] = mass[:, 2, 1] = right
    mass[:, 2, 2] = rig.inertia
    return mass / (1000 * GRAVITY)

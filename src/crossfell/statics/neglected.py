"""What does the hung shape leave out, and how much would that be for this piece?

Each is a size, not a correction. Friction at crossings: a unit that is wrapped round others by an
angle θ in all can pull harder on one side by T (exp(μ θ) − 1), one way or the other (Euler–
Eytelwein); what that does to the lowest rod is asked of the stiffness at rest, for all crossings
together as the root of squares. θ follows from how much longer the path is than the chord: two
bends of θ/2 each, d = L θ²/8. Damp and creep: all lengths longer by a share, hung anew.
Source: derived, docs/mechanics.md; capstan published, e.g. Beer & Johnston, Statics.
Checked: tests/outside/test_hung_neglected.py.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.statics.balance import Rig, ends_of
from crossfell.statics.newton import Rest, moved_by, rest_of
from crossfell.statics.reading import directions
from crossfell.statics.rig import with_errors
from crossfell.statics.springs import Floats

DAMP = (0.001, 0.005)  # shares that fibres lengthen by. Common practice, no source


@dataclass(frozen=True, kw_only=True)
class Neglected:
    """Sizes of what is left out."""

    friction_mm: float  # the lowest rod may stop so far to either side
    friction_share: float  # greatest change of a tension, either way
    takeup_mm: float  # most that a unit is longer in a span, round others, than its chord
    damp_mm: tuple[float, ...]  # the lowest rod hangs lower where fibres lengthen by DAMP
    sag_mm: float  # the bow that its own weight gives a leaning unit of mean tension


def neglected_of(
    rig: Rig, rest: Rest, excess_mm: Floats, unit_n: Floats, *, friction: float
) -> Neglected:
    """Sizes for a rig at rest.

    `excess_mm`, `unit_n` [spans from the top, units]: how much longer than its chord a path is, and
    the weight of the open yarn; `friction` of yarn on yarn.
    """
    shape = (*excess_mm.shape, -1)
    chord = rig.spans.long.reshape(shape).mean(axis=2)
    angle = wrap_rad(chord, excess_mm)
    gain = np.expm1(friction * angle)
    tension = rest.tension_n[0].reshape(shape).sum(axis=2)
    lean = np.abs(rig.spans.dx / rig.spans.long).reshape(shape).mean(axis=2)
    carries = float(tension.mean()) or 1.0
    return Neglected(
        friction_mm=_moved_mm(rig, rest, np.repeat(gain, rig.spans.shape[1] // shape[1], axis=1)),
        friction_share=float(gain.max(initial=0.0)),
        takeup_mm=float(excess_mm.max(initial=0.0)),
        damp_mm=tuple(_lower_mm(rig, rest, share) for share in DAMP),
        sag_mm=float((unit_n * chord * lean / (8 * carries)).max(initial=0.0)),
    )


def wrap_rad(chord_mm: Floats, excess_mm: Floats) -> Floats:
    """Angle (rad) by which a path is bent that is longer than its chord."""
    angle: Floats = 2 * np.sqrt(2 * np.maximum(excess_mm, 0.0) / chord_mm)
    return angle


def _moved_mm(rig: Rig, rest: Rest, gain: Floats) -> float:
    """Root of squares of what more tension in each spring does to the lowest rod, sideways."""
    force = np.zeros((rig.bands, 3))
    force[-1, 0] = 1.0
    answer = moved_by(rig, rest.stiffness, force)
    if answer is None:
        return float("inf")
    nx, ny = directions(rig, rest, 0)
    (above, below), s = ends_of(rig, answer)[0], rig.spans
    tilt = rest.pose[:, 2]
    arms = ((above, s.above_x, s.above_y, tilt[:-1]), (below, s.below_x, s.below_y, tilt[1:]))
    (x1, y1), (x2, y2) = (_point(*arm) for arm in arms)
    moved = rest.tension_n[0] * gain * (nx * (x2 - x1) + ny * (y2 - y1))
    return float(np.sqrt(np.sum(moved**2)))


def _point(by: Floats, x: Floats, y: Floats, tilt: Floats) -> tuple[Floats, Floats]:
    """How points of bands move with small changes of their poses."""
    c, s = np.cos(tilt)[:, None], np.sin(tilt)[:, None]
    right, up = c * x - s * y[:, None], s * x + c * y[:, None]
    return by[:, :1] - by[:, 2:] * up, by[:, 1:2] + by[:, 2:] * right


def _lower_mm(rig: Rig, rest: Rest, share: float) -> float:
    longer = np.full(rig.spans.shape, share)
    return float(rest.pose[-1, 1] - rest_of(with_errors(rig, longer), rest.pose).pose[-1, 1])

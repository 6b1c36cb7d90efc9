"""How far can lengths that are a little wrong move a piece, to first order?

An end that is longer by a share ε pulls less by k L0 ε; the rods answer by H⁻¹ times what that
leaves on them, H the stiffness at rest. Errors are drawn at random, so what is left on the rods
has a covariance G, and the poses have H⁻¹ G H⁻¹. Ends that go slack on the way are left out: true
moves come to several times this, which verdict.py allows for.
Source: derived, docs/mechanics.md. Checked: tests/statics/test_sensitive.py, against pieces hung
with very small errors.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.statics.balance import Rig, change_of, room_for
from crossfell.statics.banded import FEW, Blocks
from crossfell.statics.newton import Rest
from crossfell.statics.springs import Floats, look


@dataclass(frozen=True, kw_only=True)
class Sensitive:
    """Standard deviations of where the rods rest, with errors of size 1 (a share of the length)."""

    moved_mm: float  # of the end of a rod aside, the worst
    tilt_rad: float  # the worst


def sensitive_of(rig: Rig, rest: Rest, factors: Floats) -> Sensitive | None:
    """First-order answer to errors; `factors` [units, f, f] as chance.py makes them.

    None for a piece of very many bands, and where nothing holds it firmly.
    """
    if 3 * rig.bands > FEW:
        return None
    free = slice(3 if rig.cords is None else 0, None)
    answers = _inverse(_whole(rest.stiffness)[free, free])
    if answers is None:
        return None
    left = _whole(_left(rig, rest, factors))[free, free]
    spread = answers @ left @ answers
    across, tilt, both = (
        np.diagonal(spread)[0::3], np.diagonal(spread)[2::3], np.diagonal(spread, 2)[0::3],
    )  # fmt: skip
    half = half_width_mm(rig)
    moved = across + half**2 * tilt + 2 * half * np.abs(both)
    return Sensitive(moved_mm=float(np.sqrt(moved.max(initial=0.0))),
                     tilt_rad=float(np.sqrt(tilt.max(initial=0.0))))  # fmt: skip


def half_width_mm(rig: Rig) -> float:
    """From the middle of the rods to the outermost end that pulls at one."""
    return max(float(np.abs(rig.spans.above_x).max()), float(np.abs(rig.spans.below_x).max()))


def _left(rig: Rig, rest: Rest, factors: Floats) -> Blocks:
    """Covariance of the forces and moments that errors of size 1 leave on the bands."""
    s, pose = rig.spans, rest.pose
    pulls = _pulls(rig, rest)
    ways = np.stack([pulls, s.above_x[..., None] * pulls, s.below_x[..., None] * pulls], axis=2)
    less = s.k * (s.long - s.e0) * (rest.stretch_mm[0] >= 0)  # N that a share of 1 takes away
    spans, (units, fibres, _) = len(pose) - 1, factors.shape
    each = (ways.reshape(*s.shape, 6) * less[..., None]).reshape(spans, units, fibres, 6)
    drawn = np.matmul(factors.transpose(0, 2, 1), each).reshape(spans, -1, 6)
    forces = np.matmul(drawn, change_of(s, pose[:-1, 2], pose[1:, 2]))
    made = np.matmul(forces.transpose(0, 2, 1), forces)
    on = np.zeros((len(pose), 3, 3))
    on[:-1] += made[:, :3, :3]
    on[1:] += made[:, 3:, 3:]
    return Blocks(on=on, off=made[:, :3, 3:])


def _pulls(rig: Rig, rest: Rest) -> Floats:
    """Directions of the ends at rest [spans, springs, 2]."""
    pulls = room_for(rig)[0]
    look(rig.spans, rest.pose[:-1], rest.pose[1:], pulls)
    return np.stack([pulls.nx, pulls.ny], axis=-1)


def _whole(blocks: Blocks) -> Floats:
    """The whole matrix."""
    bands = len(blocks.on)
    whole = np.zeros((bands, 3, bands, 3))
    at = np.arange(bands)
    whole[at, :, at] = blocks.on
    whole[at[:-1], :, at[1:]] = blocks.off
    whole[at[1:], :, at[:-1]] = blocks.off.transpose(0, 2, 1)
    return whole.reshape(3 * bands, 3 * bands)


def _inverse(matrix: Floats) -> Floats | None:
    try:
        np.linalg.cholesky(matrix)
    except np.linalg.LinAlgError:
        return None
    return np.asarray(np.linalg.inv(matrix), dtype=np.float64)

"""Is a pose of the bands at rest, and how does it answer to being moved?

A rig is everything that hangs: cords (or a rail), spans of springs, bands with their weights. Its
energy, gradient and stiffness are exact; a gradient of nothing is equilibrium.
Bands are counted from the top here. A pose is (ux, uy, tilt) for each band: mm, mm, rad
anticlockwise, from where it is drafted; y up.
Source: derived in docs/mechanics.md.
Checked: tests/statics/test_springs_and_balance.py, against differences.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.statics.banded import Blocks
from crossfell.statics.springs import Floats, Pull, Springs, blank, pull


@dataclass(frozen=True, kw_only=True)
class Rig:
    """What hangs on what, from the top down."""

    spans: Springs
    cords: Springs | None  # one span of springs from the wall to band 0; None: a rail holds band 0
    weight_n: Floats  # [bands] each with half of the open yarn on either side of it
    moment_x: Floats  # [bands] N mm, weight times place of its mass centre on the band
    moment_y: Floats  # [bands] N mm
    reach_mm: float  # root mean square of the arms: turns a tilt into a length
    inertia: Floats  # [bands] N mm², weight times square of the distance from the rod's middle
    side_n: Floats | None = None  # [bands] pushes to the right

    @property
    def total_n(self) -> float:
        """Weight of everything."""
        return float(self.weight_n.sum())

    @property
    def bands(self) -> int:
        """How many bands."""
        return len(self.weight_n)

    @property
    def springs(self) -> tuple[Springs, ...]:
        """Spans, and cords if there are any."""
        return (self.spans,) if self.cords is None else (self.spans, self.cords)


Carried = tuple[Floats, ...]  # parallel to `Rig.springs`


@dataclass(frozen=True, kw_only=True)
class Balance:
    """Energy (N mm), its gradient [bands, 3] and the stiffness in a pose."""

    energy: float
    noise: float  # energies nearer than this cannot be told apart
    gradient: Floats
    blocks: Blocks
    pulls: tuple[Pull, ...]


def room_for(rig: Rig) -> tuple[Pull, ...]:
    """Room for what the springs of a rig do."""
    return tuple(blank(springs) for springs in rig.springs)


def ends_of(rig: Rig, pose: Floats) -> tuple[tuple[Floats, Floats], ...]:
    """Poses above and below each span, and of the wall and band 0 for the cords."""
    spans = (pose[:-1], pose[1:])
    return (spans,) if rig.cords is None else (spans, (np.zeros((1, 3)), pose[:1]))


def gravity_of(rig: Rig, pose: Floats) -> Floats:
    """What weight does to the gradient [bands, 3]."""
    gradient = np.zeros((rig.bands, 3))
    _gravity(rig, pose, gradient, np.zeros((rig.bands, 3, 3)))
    return gradient


def blocks_of(rig: Rig, pose: Floats, pulls: tuple[Pull, ...]) -> Blocks:
    """The stiffness of what `pulls` hold the sums of."""
    return _summed(rig, pose, pulls).blocks


def balance_of(
    rig: Rig,
    pose: Floats,
    carried: Carried | None,
    pulls: tuple[Pull, ...],
    *,
    looked: bool = False,
) -> Balance:
    """Energy, gradient with the true forces, stiffness with the carried tensions (None: true).

    `looked` says that `pulls` hold elongations and directions of this very pose already.
    """
    for i, (springs, (above, below)) in enumerate(
        zip(rig.springs, ends_of(rig, pose), strict=True)
    ):
        lam = None if carried is None else carried[i]
        pull(springs, above, below, lam, pulls[i], looked=looked)
    return _summed(rig, pose, pulls)


def _summed(rig: Rig, pose: Floats, pulls: tuple[Pull, ...]) -> Balance:
    bands = rig.bands
    gradient, on = np.zeros((bands, 3)), np.zeros((bands, 3, 3))
    off = np.zeros((0, 3, 3))
    energy = _gravity(rig, pose, gradient, on)
    noise = 1e-14 * (
        float(np.abs(rig.weight_n * pose[:, 1]).sum()) + float(np.abs(rig.moment_x).sum())
    )
    for i, (springs, (above, below)) in enumerate(
        zip(rig.springs, ends_of(rig, pose), strict=True)
    ):
        energy += pulls[i].energy
        slope, stiff = _spread(springs, above[:, 2], below[:, 2], pulls[i].sums)
        if i == 0:
            gradient[:-1] += slope[:, :3]
            gradient[1:] += slope[:, 3:]
            on[:-1] += stiff[:, :3, :3]
            on[1:] += stiff[:, 3:, 3:]
            off = stiff[:, :3, 3:]
        else:
            gradient[:1] += slope[:, 3:]
            on[:1] += stiff[:, 3:, 3:]
    if rig.cords is None:
        gradient[0], on[0], off[:1] = 0.0, np.eye(3), 0.0
    return Balance(energy=energy, noise=noise + 1e-14 * abs(energy), gradient=gradient,
                   blocks=Blocks(on=on, off=off), pulls=pulls)  # fmt: skip


def _gravity(rig: Rig, pose: Floats, gradient: Floats, on: Floats) -> float:
    """Σ W uy + sin t S_x + (cos t − 1) S_y, with its derivatives."""
    tilt = pose[:, 2]
    sine, cosine = np.sin(tilt), np.cos(tilt)
    gradient[:, 1] += rig.weight_n
    gradient[:, 2] += cosine * rig.moment_x - sine * rig.moment_y
    on[:, 2, 2] -= sine * rig.moment_x + cosine * rig.moment_y
    lifted = rig.weight_n * pose[:, 1] + sine * rig.moment_x
    if rig.side_n is not None:
        gradient[:, 0] -= rig.side_n
        lifted = lifted - rig.side_n * pose[:, 0]
    return float(np.sum(lifted - 2 * np.sin(tilt / 2) ** 2 * rig.moment_y))


def _spread(s: Springs, t1: Floats, t2: Floats, sums: Floats) -> tuple[Floats, Floats]:
    """Turn the sums of springs into gradient [spans, 6] and stiffness [spans, 6, 6].

    The six are (x, y, tilt) of the band above and of the one below. A point of a band moves with
    its tilt as J R p = p_x v + w, v = (−sin, cos) and w = p_y (−cos, −sin) the same for the whole
    span. So C [spans, 6, 6] says how the end-to-end vectors 1, a, b (each x and y) change with the
    six, and C' K C with the summed K is the stiffness.
    """
    change = change_of(s, t1, t2)
    flat = sums.reshape(len(sums), -1)
    back = change.transpose(0, 2, 1)
    gradient = np.matmul(back, flat[:, _FORCE, None])[..., 0]
    stiffness = np.matmul(np.matmul(back, flat[:, _STIFF]), change)
    # a tilted point also comes nearer: λ n·R p, with R p = p_x (cos, sin) + p_y (−sin, cos)
    n0x, n0y, nax, nay, nbx, nby = flat[:, _LAM].T
    c1, s1, c2, s2 = np.cos(t1), np.sin(t1), np.cos(t2), np.sin(t2)
    ay, by = s.above_y, s.below_y
    stiffness[:, 2, 2] += nax * c1 + nay * s1 + ay * (n0y * c1 - n0x * s1)
    stiffness[:, 5, 5] -= nbx * c2 + nby * s2 + by * (n0y * c2 - n0x * s2)
    return gradient, stiffness


def change_of(s: Springs, t1: Floats, t2: Floats) -> Floats:
    """C [spans, 6, 6] for tilts [spans] of the bands above and below; see `_spread`."""
    spans = len(t1)
    c1, s1, c2, s2 = np.cos(t1), np.sin(t1), np.cos(t2), np.sin(t2)
    ay, by = s.above_y, s.below_y
    change = np.zeros((spans, 6, 6))
    change[:, (0, 1), (0, 1)], change[:, (0, 1), (3, 4)] = -1.0, 1.0
    change[:, 0, 2], change[:, 1, 2] = ay * c1, ay * s1
    change[:, 0, 5], change[:, 1, 5] = -by * c2, -by * s2
    change[:, 2, 2], change[:, 3, 2] = s1, -c1
    change[:, 4, 5], change[:, 5, 5] = -s2, c2
    return change


# Where things stand in the flattened sums [7 rows, 6 products of arms 1, a, b, a², a b, b²].
_FORCE = np.array([5 * 6, 6 * 6, 5 * 6 + 1, 6 * 6 + 1, 5 * 6 + 2, 6 * 6 + 2])
_LAM = _FORCE - 12
_K = ((0, 1), (1, 2))  # rows of K_xx, K_xy, K_yy
_ARMS = ((0, 1, 2), (1, 3, 4), (2, 4, 5))  # products of two of 1, a, b
_STIFF = np.array(
    [[6 * _K[i % 2][j % 2] + _ARMS[i // 2][j // 2] for j in range(6)] for i in range(6)]
)

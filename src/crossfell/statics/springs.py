"""How hard do the ends of a span pull on the bands above and below, and how stiff is that?

An end is a spring that only pulls: N = k max(0, e), k = EA/L0, e its length beyond L0. It runs
from a point of the band above to a point of the band below; both are rigid and may lie anywhere,
at any tilt. All spans have the same number of springs, so arrays are [spans, springs] and every
sum over a span is one small matrix product.

Sums are taken of seven quantities, each weighted by six products of the ends' arms, and only then
turned to the tilt of the bands: a force needs no moment of its own.
Source: derived in docs/mechanics.md.
Checked: tests/statics/test_springs_and_balance.py against differences,
tests/outside/test_hung_minimisers.py against scipy on an energy written separately.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

PIECE = 16384  # springs worked on at once, so that they stay in the processor's nearest memory
_ROWS = 7  # K_xx, K_xy, K_yy, λ n_x, λ n_y, N n_x, N n_y


@dataclass(frozen=True, kw_only=True)
class Springs:
    """Springs of spans as drafted, band above to band below; mm, N, y up.

    `e0` is the elongation in the drafted pose. Arms are local coordinates on the two bands: x for
    each spring, y the same for a whole span. `arms` holds their products 1, a, b, a², a b, b².
    """

    dx: Floats  # [spans, springs] drafted vector from its point above to its point below
    dy: Floats  # [spans, springs]
    long: Floats  # [spans, springs] its length
    e0: Floats  # [spans, springs]
    k: Floats  # [spans, springs] N/mm
    above_x: Floats  # [spans, springs]
    above_y: Floats  # [spans]
    below_x: Floats  # [spans, springs]
    below_y: Floats  # [spans]
    arms: Floats  # [spans, springs, 6]

    @property
    def shape(self) -> tuple[int, int]:
        """Spans, springs of each."""
        spans, springs = self.k.shape
        return spans, springs


def springs_of(
    *,
    above: tuple[Floats, Floats],
    below: tuple[Floats, Floats],
    drop: tuple[Floats, Floats],
    e0: Floats,
    k: Floats,
) -> Springs:
    """Springs from local points (x [spans, springs], y [spans]) and drafted vectors (mm)."""
    (ax, ay), (bx, by), (dx, dy) = above, below, drop
    one = np.ones_like(ax)
    arms = np.stack([one, ax, bx, ax * ax, ax * bx, bx * bx], axis=-1)
    made = Springs(dx=dx, dy=dy, long=np.hypot(dx, dy), e0=e0, k=k, above_x=ax, above_y=ay,
                   below_x=bx, below_y=by, arms=arms)  # fmt: skip
    for array in vars(made).values():
        array.setflags(write=False)
    return made


@dataclass
class Pull:
    """What springs do in one pose. `sums` is [spans, 7, 6], see the module's first lines."""

    e: Floats  # [spans, springs] elongation; < 0: slack by so much
    nx: Floats  # [spans, springs] direction, above to below
    ny: Floats  # [spans, springs]
    short: Floats  # [spans, springs] 1 / length
    sums: Floats
    energy: float  # N mm


def blank(springs: Springs) -> Pull:
    """Room for what springs do: made once, filled in every step."""
    shape = springs.shape
    e, nx, ny, short = (np.empty(shape) for _ in range(4))
    sums = np.empty((shape[0], _ROWS, 6))
    return Pull(e=e, nx=nx, ny=ny, short=short, sums=sums, energy=0.0)


def parts_of(springs: Springs) -> list[slice]:
    """Spans that are worked on at once: as many as stay in the processor's nearest memory."""
    spans, each = springs.shape
    step = max(1, PIECE // max(each, 1))
    return [slice(first, min(first + step, spans)) for first in range(0, spans, step)]


def pull(
    springs: Springs,
    above: Floats,
    below: Floats,
    carried: Floats | None,
    into: Pull,
    *,
    looked: bool = False,
) -> Pull:
    """Work out forces and stiffness for bands at poses (ux, uy, tilt) [spans, 3] above and below.

    `carried` are the tensions that stiffen the springs sideways; None takes the true ones.
    `looked` says that `into` holds elongations and directions of this pose already.
    """
    parts = parts_of(springs)
    room = np.empty((_ROWS + 1, parts[0].stop, springs.shape[1]))
    into.energy = 0.0
    for part in parts:
        some = room[:, : part.stop - part.start]
        if not looked:
            _look(springs, part, above[part], below[part], into, some)
        into.energy += _gather(springs, part, into, carried, some)
    return into


def _look(s: Springs, part: slice, above: Floats, below: Floats, into: Pull, room: Floats) -> None:
    """Elongation, direction and length; every operation writes into room that is there already."""
    hx, hy, dx, dy, p, q = room[:6]
    e, nx, ny, short = into.e[part], into.nx[part], into.ny[part], into.short[part]
    _moved(s, part, above, below, hx, hy, p)
    np.add(s.dx[part], hx, out=dx)
    np.add(s.dy[part], hy, out=dy)
    np.multiply(dx, dx, out=short)
    np.multiply(dy, dy, out=p)
    short += p
    np.sqrt(short, out=short)
    # e = e0 + h·(2 d0 + h)/(L + L0 drafted): no difference of two nearly equal lengths
    np.add(s.dx[part], dx, out=p)
    p *= hx
    np.add(s.dy[part], dy, out=q)
    q *= hy
    p += q
    np.add(s.long[part], short, out=q)
    p /= q
    np.add(s.e0[part], p, out=e)
    np.divide(1.0, short, out=short)
    np.multiply(dx, short, out=nx)
    np.multiply(dy, short, out=ny)


def _gather(s: Springs, part: slice, into: Pull, carried: Floats | None, room: Floats) -> float:
    """Rows K = a n n' + b I, λ n and N n, summed over each span; returns the energy."""
    nx, ny = into.nx[part], into.ny[part]
    rows, a = room[:_ROWS], room[_ROWS]
    np.multiply(s.k[part], into.e[part] >= 0.0, out=a)
    np.multiply(a, into.e[part], out=rows[2])  # the tension
    energy = 0.5 * float(np.vdot(rows[2], into.e[part]))
    np.multiply(rows[2], nx, out=rows[5])
    np.multiply(rows[2], ny, out=rows[6])
    _rows(s, part, into, rows[2] if carried is None else carried[part], room)
    return energy


def _rows(s: Springs, part: slice, into: Pull, lam: Floats, room: Floats) -> None:
    """Rows of K and λ n from the stiffness along the springs, which `room` ends with; the sums."""
    nx, ny, short = into.nx[part], into.ny[part], into.short[part]
    rows, a = room[:_ROWS], room[_ROWS]
    np.multiply(lam, nx, out=rows[3])
    np.multiply(lam, ny, out=rows[4])
    np.multiply(lam, short, out=rows[2])
    a -= rows[2]
    np.multiply(a, nx, out=rows[0])
    np.multiply(rows[0], ny, out=rows[1])
    rows[0] *= nx
    rows[0] += rows[2]
    a *= ny
    a *= ny
    rows[2] += a
    np.matmul(rows.transpose(1, 0, 2), s.arms[part], out=into.sums[part])


def look(springs: Springs, above: Floats, below: Floats, into: Pull) -> None:
    """Elongations and directions for bands at poses above and below, nothing else."""
    parts = parts_of(springs)
    room = np.empty((_ROWS, parts[0].stop, springs.shape[1]))
    for part in parts:
        _look(springs, part, above[part], below[part], into, room[:, : part.stop - part.start])


def stiffen(springs: Springs, along: Floats, tension: Floats, into: Pull) -> None:
    """Sums for given stiffnesses along the springs and tensions [spans, springs]."""
    parts = parts_of(springs)
    room = np.zeros((_ROWS + 1, parts[0].stop, springs.shape[1]))
    for part in parts:
        some = room[:, : part.stop - part.start]
        some[_ROWS] = along[part]
        _rows(springs, part, into, tension[part], some)


def net(springs: Springs, tension: Floats, done: Pull) -> Floats:
    """Forces N n summed with the arms 1, a, b: x and y of each [spans, 6]."""
    force = np.stack([tension * done.nx, tension * done.ny], axis=1)
    summed: Floats = np.matmul(force, springs.arms[:, :, :3])
    return summed.transpose(0, 2, 1).reshape(len(summed), 6)


def _moved(
    s: Springs, part: slice, above: Floats, below: Floats, hx: Floats, hy: Floats, spare: Floats
) -> None:
    """How far each end-to-end vector has changed: h = u2 − u1 + (R2 − I) b − (R1 − I) a."""
    (u1, v1, t1), (u2, v2, t2) = above.T, below.T
    s1, s2 = np.sin(t1), np.sin(t2)
    c1, c2 = -2 * np.sin(t1 / 2) ** 2, -2 * np.sin(t2 / 2) ** 2  # cos − 1, without cancellation
    ay, by = s.above_y[part], s.below_y[part]
    ax, bx = s.above_x[part], s.below_x[part]
    np.multiply(bx, c2[:, None], out=hx)
    np.multiply(ax, c1[:, None], out=spare)
    hx -= spare
    hx += (u2 - u1 - s2 * by + s1 * ay)[:, None]
    np.multiply(bx, s2[:, None], out=hy)
    np.multiply(ax, s1[:, None], out=spare)
    hy -= spare
    hy += (v2 - v1 + c2 * by - c1 * ay)[:, None]


def foreseen(
    springs: Springs,
    at: tuple[Floats, Floats],
    step: tuple[Floats, Floats],
    done: Pull,
    out: Floats,
) -> Floats:
    """How much longer each spring gets by a step, were everything straight [spans, springs].

    `at` are the tilts (above, below) [spans], `step` the changes of pose [spans, 3].
    """
    (t1, t2), (d1, d2) = at, step
    c1, s1, c2, s2 = np.cos(t1), np.sin(t1), np.cos(t2), np.sin(t2)
    turn1, turn2 = d1[:, 2], d2[:, 2]
    moved_x = d2[:, 0] - d1[:, 0] - turn2 * c2 * springs.below_y + turn1 * c1 * springs.above_y
    moved_y = d2[:, 1] - d1[:, 1] - turn2 * s2 * springs.below_y + turn1 * s1 * springs.above_y
    parts = parts_of(springs)
    spare = np.empty((2, parts[0].stop, springs.shape[1]))
    for part in parts:
        p, q = spare[:, : part.stop - part.start]
        ax, bx, to = springs.above_x[part], springs.below_x[part], out[part]
        _along(p, q, ax, bx, moved_x[part], -(turn1 * s1)[part], -(turn2 * s2)[part])
        np.multiply(p, done.nx[part], out=to)
        _along(p, q, ax, bx, moved_y[part], (turn1 * c1)[part], (turn2 * c2)[part])
        p *= done.ny[part]
        to += p
    return out


def _along(
    p: Floats, q: Floats, ax: Floats, bx: Floats, moved: Floats, by_above: Floats, by_below: Floats
) -> None:
    np.multiply(bx, by_below[:, None], out=p)
    np.multiply(ax, by_above[:, None], out=q)
    p -= q
    p += moved[:, None]

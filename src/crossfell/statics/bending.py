"""What changes when rods bend: how far do they sag, and who carries more?

Rods are not rigid beside yarn: a unit of 18 linen ends is stiffer than a 3 mm rod between two
cords. Each band becomes a beam on its units; springs keep the directions that they have in the
hung shape, so the model is linear but for ends that go slack. Unknown are the shape of each rod and
its drift; the energy is convex, and Newton steps with a line search find its least.
Source: docs/mechanics.md. Checked: tests/outside/test_hung_rod_bending.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from crossfell.draft.model import Draft
from crossfell.paths.model import Paths
from crossfell.statics.beam import Rodded, element, rodded, shapes
from crossfell.statics.cords import rod_length_mm
from crossfell.statics.fibres import FIBRES
from crossfell.statics.model import Hung
from crossfell.statics.reading import directions
from crossfell.statics.springs import Floats, Springs

if TYPE_CHECKING:
    from scipy.sparse import csr_matrix

ENOUGH = 1e-8  # force left, as a share of the weight
MOST = 200


@dataclass(frozen=True, kw_only=True)
class BentPiece:
    """The piece with rods that bend; arrays in weaving order."""

    sag_mm: Floats  # [bands] greatest distance of a rod from straight
    x_mm: Floats  # [bands, nodes] along the rod, from its left end
    shape_mm: Floats  # [bands, nodes] up positive, from where the stiff rod came to rest
    tension_n: Floats  # [spans, units]
    cords_n: Floats  # [cords]
    residual: float
    iterations: int
    converged: bool


def bent_piece(draft: Draft, paths: Paths, hung: Hung, *, nodes: int = 0) -> BentPiece:
    """Let the rods of a hung piece bend. `nodes` on each rod: else 12, and 2 for each unit."""
    length, units = rod_length_mm(draft, paths), len(draft.units)
    count = nodes or min(12 + 2 * units, 120)
    down = draft.on_wall().downwards
    rods = [rodded(band, length) for band in draft.bands][down]
    beams = _Beams(rods, np.linspace(-length / 2, length / 2, count), draft.hang.rail)
    springs, tension0 = hung.rig.springs, hung.rest.tension_n
    along, across, k, e, lam = [], [], [], [], []
    for i, s in enumerate(springs):
        one, two = beams.rows(s, directions(hung.rig, hung.rest, i), cords=i == 1)
        along.append(one)
        across.append(two)
        k.append(s.k.ravel())
        e.append(hung.rest.stretch_mm[i].ravel())
        lam.append((tension0[i] / s.long).ravel())
    return _solved(hung, beams, along, across, (k, e, lam), (down, units))


class _Beams:
    """Where the unknowns of each band stand: its drift, then height and slope at each node."""

    def __init__(self, rods: list[Rodded], at: Floats, rail: bool) -> None:
        self.rods, self.at = rods, at
        self.each = 1 + 2 * len(at)
        self.size = self.each * len(rods)
        self.rail = rail

    def stiffness(self) -> csr_matrix:
        """Bending stiffness of all rods."""
        from scipy.sparse import block_diag, csr_matrix

        blocks = []
        for rod in self.rods:
            block = np.zeros((self.each, self.each))
            for i, length in enumerate(np.diff(self.at)):
                four = slice(1 + 2 * i, 5 + 2 * i)
                block[four, four] += rod.ei * element(length)
            blocks.append(block)
        return csr_matrix(block_diag(blocks))

    def weights(self, weight_n: Floats, moment_x: Floats) -> Floats:
        """Loads: the weight of each band, even over its rod, its centre kept."""
        load = np.zeros((len(self.rods), self.each))
        share = np.full(len(self.at), 1.0)
        share[[0, -1]] = 0.5
        share /= share.sum()
        lean = share * self.at
        lean /= lean @ self.at
        load[:, 1::2] = weight_n[:, None] * share + moment_x[:, None] * lean
        result: Floats = load.ravel()
        return result

    def rows(
        self, s: Springs, n: tuple[Floats, Floats], *, cords: bool
    ) -> tuple[csr_matrix, csr_matrix]:
        """How each spring's length, and its sideways place, change with the unknowns."""
        from scipy.sparse import csr_matrix

        spans, each = s.shape
        rows, columns, along, across = [], [], [], []
        for end, x, sign in ((0, s.above_x, -1.0), (1, s.below_x, 1.0)):
            if cords and end == 0:
                continue
            for span in range(spans):
                band = 0 if cords else span + end
                here, value = self._place(x[span])
                first = band * self.each
                index = span * each + np.arange(each)
                nx, ny = n[0][span], n[1][span]
                rows += [index, np.repeat(index, 4)]
                columns += [np.full(each, first), (first + here).ravel()]
                along += [sign * nx, (sign * ny[:, None] * value).ravel()]
                across += [-sign * ny, (sign * nx[:, None] * value).ravel()]
        shape = (spans * each, self.size)
        places = (np.concatenate(rows), np.concatenate(columns))
        return (csr_matrix((np.concatenate(along), places), shape=shape),
                csr_matrix((np.concatenate(across), places), shape=shape))  # fmt: skip

    def _place(self, x: Floats) -> tuple[Floats, Floats]:
        """Unknowns [springs, 4] (within a band) and shapes [springs, 4] of points on a rod."""
        step = self.at[1] - self.at[0]
        i = np.clip(((x - self.at[0]) / step).astype(np.int64), 0, len(self.at) - 2)
        value = shapes((x - self.at[i]) / step, step).T
        return 1 + 2 * i[:, None] + np.arange(4), value


def _solved(
    hung: Hung,
    beams: _Beams,
    along: list[csr_matrix],
    across: list[csr_matrix],
    springs: tuple[list[Floats], list[Floats], list[Floats]],
    how: tuple[slice, int],
) -> BentPiece:
    from scipy.sparse import diags, vstack
    from scipy.sparse.linalg import spsolve

    k, e0, lam = (np.concatenate(part) for part in springs)
    c, t = vstack(along).tocsr(), vstack(across).tocsr()
    rig = hung.rig
    fixed = beams.stiffness() + t.T @ diags(lam) @ t
    load = beams.weights(rig.weight_n, rig.moment_x)
    free = np.arange(beams.each if beams.rail else 0, beams.size)
    q, total, steps = np.zeros(beams.size), rig.total_n, 0

    def at(q: Floats) -> tuple[float, Floats, Floats]:
        e = e0 + c @ q
        pull = k * np.maximum(e, 0.0)
        bent_forces = fixed @ q
        energy = 0.5 * float(pull @ e + q @ bent_forces) + float(load @ q)
        return energy, bent_forces + c.T @ pull + load, e

    energy, slope, e = at(q)
    # Tilts of the stiff shape are small here: the weight's moment arm is taken as drawn.
    while np.abs(slope[free]).max() > ENOUGH * total and steps < MOST:
        matrix = fixed + c.T @ diags(k * (e >= 0)) @ c + diags(np.full(beams.size, 1e-9 * total))
        step = np.zeros(beams.size)
        step[free] = spsolve(matrix.tocsr()[free][:, free].tocsc(), -slope[free])
        share, down = 1.0, float(slope @ step)
        while share > 1e-9:
            tried = at(q + share * step)
            if tried[0] <= energy + 1e-4 * share * down + 1e-13 * abs(energy):
                break
            share /= 2
        q = q + share * step
        energy, slope, e = at(q)
        steps += 1
    return _read(
        hung,
        beams,
        q,
        k * np.maximum(e, 0.0),
        (float(np.abs(slope[free]).max() / total), steps),
        how,
    )


def _read(
    hung: Hung, beams: _Beams, q: Floats, pull: Floats, done: tuple[float, int],
    how: tuple[slice, int],
) -> BentPiece:  # fmt: skip
    down, units = how
    spans = hung.rig.spans.shape[0]
    inner = hung.rig.spans.k.size
    shape = q.reshape(len(beams.rods), -1)[:, 1::2]
    straight = np.array([np.polyval(np.polyfit(beams.at, row, 1), beams.at) for row in shape])
    tension = pull[:inner].reshape(spans, units, FIBRES).sum(axis=2)
    x = np.tile(beams.at - beams.at[0], (len(shape), 1))
    return BentPiece(
        sag_mm=np.ptp(shape - straight, axis=1)[down],
        x_mm=x,
        shape_mm=shape[down],
        tension_n=tension[down],
        cords_n=pull[inner:],
        residual=done[0],
        iterations=done[1],
        converged=done[0] <= ENOUGH,
    )

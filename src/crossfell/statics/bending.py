"""What changes when rods bend: how far do they sag, who carries more, which units bow?

Rods are not rigid beside yarn: a unit of 18 linen ends is stiffer than a 3 mm rod between two
cords. Each band becomes a beam on its units; springs keep the directions that they have in the
hung shape, so the model is linear but for ends that go slack. Unknown are the shape of each rod and
its drift. Other lengths of the ends change where the springs begin, not how they lie: a piece is
made ready once and then let bend many times.
Source: docs/mechanics.md. Checked: tests/outside/test_hung_rod_bending.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from crossfell.draft.model import Draft
from crossfell.paths.model import Paths
from crossfell.paths.rods import rods_on_wall_mm
from crossfell.statics.beam import rodded
from crossfell.statics.interior import Solve, started, to_rest
from crossfell.statics.model import Hung
from crossfell.statics.newton import first_carried
from crossfell.statics.reading import directions
from crossfell.statics.spline import TOUCH, Spline
from crossfell.statics.springs import Floats, Springs

if TYPE_CHECKING:
    from scipy.sparse import csr_matrix

ENOUGH = 1e-8  # force left, as a share of the weight
MOST = 60
KNOTS = 1.5  # for each unit: more changes tensions by less than a hundredth of their mean
SHOWN = 121  # points of a rod whose shape is given
APART = 10.0  # times the usual slackness to start with
Ints = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class BentPiece:
    """The piece with rods that bend; arrays in weaving order."""

    sag_mm: Floats  # [bands] greatest distance of a rod from straight
    x_mm: Floats  # [bands, points] along the rod, from its left end
    shape_mm: Floats  # [bands, points] up positive, from where the stiff rod came to rest
    tension_n: Floats  # [spans, units]
    slack_mm: Floats  # [spans, units] what its tightest end is too long; 0 where it is taut
    loose_mm: Floats  # [spans, units] what its loosest end is too long
    cords_n: Floats  # [cords]
    residual: float
    iterations: int
    converged: bool


def bent_piece(draft: Draft, paths: Paths, hung: Hung, *, knots: float = KNOTS) -> BentPiece:
    """Let the rods of a hung piece bend; `knots` for each unit."""
    return Bendable(draft, paths, hung, knots=knots).bent()


class Bendable:
    """A hung piece made ready to bend: springs as rows of what they are lengthened by."""

    def __init__(self, draft: Draft, paths: Paths, hung: Hung, *, knots: float = KNOTS) -> None:
        units = len(draft.units)
        self.hung, self.units, self.down = hung, units, draft.on_wall().downwards
        self.rods = [rodded(b, paths.rod_mm(i)) for i, b in enumerate(draft.bands)][self.down]
        ends = rods_on_wall_mm(draft, paths)[self.down] - paths.width_total_mm / 2
        long = ends[:, 1] - ends[:, 0]
        self.middle, self.share = ends.mean(axis=1), long.max() / long  # [bands] one spline for all
        self.spline = Spline(float(long.max()), max(12, round(knots * units)))
        self.each = 1 + self.spline.count
        self.held = self.each if draft.hang.rail else 0  # unknowns of a band on a rail are none
        self.size = self.each * len(self.rods) - self.held
        rig, rest = hung.rig, hung.rest
        rows = [self._rows(s, directions(rig, rest, i), i == 1) for i, s in enumerate(rig.springs)]
        k = np.concatenate([s.k.ravel() for s in rig.springs])
        self.there = np.flatnonzero(k > 0)
        place, along, across = (np.concatenate([r[i] for r in rows])[self.there] for i in range(3))
        self.stiff, self.flexibility = k[self.there], 1 / k[self.there]
        self.e0 = np.concatenate([e.ravel() for e in rest.stretch_mm])[self.there]
        self.start = np.concatenate([n.ravel() for n in first_carried(rig)])[self.there]
        lam = np.concatenate(
            [(n / s.long).ravel() for n, s in zip(rest.tension_n, rig.springs, strict=True)]
        )[self.there]
        self._ready(place, along, across, lam)

    def _rows(
        self, s: Springs, n: tuple[Floats, Floats], cords: bool
    ) -> tuple[Ints, Floats, Floats]:
        """Unknowns [springs, 10] that each spring feels, and how its length and side change."""
        spans, each = s.shape
        nx, ny = n[0].ravel()[:, None], n[1].ravel()[:, None]
        place, along, across = [], [], []
        for end, x, sign in ((0, s.above_x, -1.0), (1, s.below_x, 1.0)):
            band = np.repeat(np.arange(spans) + (0 if cords else end), each)[:, None]
            on_rod = (x.ravel() - self.middle[band[:, 0]]) * self.share[band[:, 0]]
            first, value = self.spline.at(on_rod)
            on_wall = cords and end == 0
            here = np.concatenate([0 * first[:, None], 1 + first[:, None] + np.arange(TOUCH)], 1)
            at = band * self.each + here - self.held
            place.append(np.where((at < 0) | on_wall, -1, at))
            along.append(sign * np.concatenate([nx, ny * value], axis=1))
            across.append(sign * np.concatenate([-ny, nx * value], axis=1))
        return (np.concatenate(place, 1), np.concatenate(along, 1), np.concatenate(across, 1))

    def _ready(self, place: Ints, along: Floats, across: Floats, lam: Floats) -> None:
        """What does not change from step to step."""
        from scipy.sparse import csr_matrix

        count = len(place)
        rows = np.repeat(np.arange(count), place.shape[1])
        free = place.ravel() >= 0
        at = (rows[free], place.ravel()[free])
        self.longer = csr_matrix((along.ravel()[free], at), shape=(count, self.size))
        self.pulls = self.longer.T.tocsr()
        self.width = min(2 * self.each, self.size)
        self.products = self._products(place, along)
        aside = self._products(place, across)
        own = self._own()
        own[aside.cells] += aside.sums @ lam
        self.fixed = own.reshape(self.size, self.width)
        self.load = self._load()

    def _products(self, place: Ints, row: Floats) -> Products:
        """Products of what a spring does to two unknowns: cells of the banded matrix, and sums."""
        from scipy.sparse import csr_matrix

        i, j = np.tril_indices(place.shape[1])
        one, two = place[:, i], place[:, j]
        upper, lower = np.minimum(one, two), np.maximum(one, two)
        value = row[:, i] * row[:, j]
        keep = (upper >= 0).ravel()
        cell = (upper * self.width + lower - upper).ravel()[keep]
        there = np.zeros(self.size * self.width, dtype=bool)
        there[cell] = True
        cells, at = np.flatnonzero(there), (np.cumsum(there) - 1)[cell]
        springs = np.repeat(np.arange(len(place)), len(i))[keep]
        sums = csr_matrix((value.ravel()[keep], (at, springs)), shape=(len(cells), len(place)))
        return Products(cells=cells, sums=sums)

    def _own(self) -> Floats:
        """Bending stiffness of all rods, banded [unknowns × width]."""
        bend = self.spline.stiffness()
        own = np.zeros((len(self.rods) * self.each, self.width))
        for b, rod in enumerate(self.rods):
            for off in range(TOUCH):
                rows = b * self.each + 1 + np.arange(self.spline.count - off)
                own[rows, off] += rod.ei * self.share[b] ** 3 * np.diagonal(bend, off)
        own[:, 0] += 1e-9 * self.hung.rig.total_n
        return own[self.held :].ravel()

    def _load(self) -> Floats:
        """The weight of each band, even over its rod, its centre kept.

        Tilts of the stiff shape are small here: the weight's moment arm is taken as drawn.
        """
        even, slant = self.spline.loads()
        rig = self.hung.rig
        beside = rig.moment_x - rig.weight_n * self.middle
        load = np.zeros((len(self.rods), self.each))
        load[:, 1:] = rig.weight_n[:, None] * even + (beside * self.share)[:, None] * slant
        return load.ravel()[self.held :]

    def bent(self, shorter_mm: Floats | None = None) -> BentPiece:
        """Let it bend. `shorter_mm` [spans from the top, units, 3] is what ends are too short."""
        e0 = self.e0
        if shorter_mm is not None:
            more = np.zeros(len(self.hung.rest.stretch_mm[0].ravel()) + self._cords)
            more[: shorter_mm.size] = shorter_mm.ravel()
            e0 = e0 + more[self.there]
        problem = _Bending(self, e0)
        state = started(problem, np.zeros(self.size), self.start, apart=APART)
        done = to_rest(problem, state, most=MOST, enough=ENOUGH)
        e = problem.look(state.q)
        true = self.stiff * np.maximum(e, 0.0)
        left = problem.residual(problem.left(true))
        return self._read(state.q, e, true, (left, state.steps, done or left < ENOUGH))

    @cached_property
    def _cords(self) -> int:
        cords = self.hung.rig.cords
        return 0 if cords is None else cords.k.size

    def _read(self, q: Floats, e: Floats, pull: Floats, done: tuple[float, int, bool]) -> BentPiece:
        all_e = np.full(self.hung.rig.spans.k.size + self._cords, np.nan)
        all_n = np.zeros_like(all_e)
        all_e[self.there], all_n[self.there] = e, pull
        inner = self.hung.rig.spans.k.size
        by_unit = all_e[:inner].reshape(len(self.rods) - 1, self.units, -1)
        shape = np.concatenate([np.zeros(self.held), q]).reshape(len(self.rods), -1)[:, 1:]
        x = np.linspace(-self.spline.length_mm / 2, self.spline.length_mm / 2, SHOWN)
        high = shape @ self.spline.values(x).T
        line = np.stack([np.full(SHOWN, SHOWN**-0.5), x / np.linalg.norm(x)])
        return BentPiece(
            sag_mm=np.ptp(high - high @ line.T @ line, axis=1)[self.down],
            x_mm=((x - x[0]) / self.share[:, None])[self.down],
            shape_mm=high[self.down],
            tension_n=all_n[:inner].reshape(by_unit.shape).sum(axis=2)[self.down],
            slack_mm=np.maximum(-np.nanmax(by_unit, axis=2), 0.0)[self.down],
            loose_mm=np.maximum(-np.nanmin(by_unit, axis=2), 0.0)[self.down],
            cords_n=all_n[inner:],
            residual=done[0],
            iterations=done[1],
            converged=done[2],
        )


@dataclass(frozen=True, kw_only=True)
class Products:
    """Where products of two unknowns stand in the banded matrix, and their sums over springs."""

    cells: Ints
    sums: csr_matrix


class _Bending:
    """The problem that interior.py brings to rest."""

    def __init__(self, ready: Bendable, e0: Floats) -> None:
        self.ready, self.e0, self.flexibility = ready, e0, ready.flexibility
        self._own = np.zeros(ready.size)

    def look(self, q: Floats) -> Floats:
        ready = self.ready
        self._own = _times(ready.fixed, q) + ready.load
        return np.asarray(self.e0 + ready.longer @ q)

    def left(self, tension: Floats) -> Floats:
        return np.asarray(self._own + self.ready.pulls @ tension)

    def along(self, step: Floats) -> Floats:
        return np.asarray(self.ready.longer @ step)

    def factor(self, along: Floats, _tension: Floats) -> Solve | None:
        from scipy.linalg.lapack import dpbtrf, dpbtrs

        ready = self.ready
        matrix = ready.fixed.copy()
        matrix.ravel()[ready.products.cells] += ready.products.sums @ along
        factor, info = dpbtrf(matrix.T, lower=1, overwrite_ab=1)
        if info:
            return None

        def solve(right: Floats) -> Floats:
            x: Floats = dpbtrs(factor, right, lower=1)[0]
            return x

        return solve

    def most(self, _step: Floats) -> float:
        return 1.0

    def residual(self, left: Floats) -> float:
        return float(np.abs(left).max()) / self.ready.hung.rig.total_n


def _times(banded: Floats, x: Floats) -> Floats:
    """A symmetric banded matrix [n, width], its lower half by columns, times a vector."""
    from scipy.linalg.blas import dsbmv

    product: Floats = dsbmv(banded.shape[1] - 1, 1.0, banded.T, x, lower=1)
    return product

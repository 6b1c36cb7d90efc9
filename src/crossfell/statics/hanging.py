"""Bands on springs as a problem for interior.py: poses are its unknowns."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from crossfell.statics.balance import (
    Rig,
    blocks_of,
    change_of,
    ends_of,
    gravity_of,
    room_for,
)
from crossfell.statics.banded import banded, factored
from crossfell.statics.interior import Solve
from crossfell.statics.springs import Floats, foreseen, look, net, stiffen

MOST_RAISED = 60


class Hanging:
    """A rig; unknowns are the poses of all bands in a row. No step turns a band by more."""

    def __init__(self, rig: Rig, turn_rad: float) -> None:
        self.rig, self.pulls, self.mu, self.turn = rig, room_for(rig), 0.0, turn_rad
        k = np.concatenate([s.k.ravel() for s in rig.springs])
        self.flexibility = 1 / np.maximum(k, 1e-9 * float(k.max()))
        self._inner = rig.spans.k.size
        self._scale = np.array([1.0, 1.0, rig.reach_mm**2])
        self._pose = np.zeros((rig.bands, 3))

    def look(self, q: Floats) -> Floats:
        """Elongations, directions and weight in a pose."""
        self._pose = q.reshape(-1, 3)
        ends = ends_of(self.rig, self._pose)
        self._tilts = [(above[:, 2], below[:, 2]) for above, below in ends]
        for springs, (above, below), pull in zip(self.rig.springs, ends, self.pulls, strict=True):
            look(springs, above, below, pull)
        pairs = zip(self.rig.springs, self._tilts, strict=True)
        self._change = [change_of(s, *tilts) for s, tilts in pairs]
        self._gravity = gravity_of(self.rig, self._pose)
        return np.concatenate([pull.e.ravel() for pull in self.pulls])

    def left(self, tension: Floats) -> Floats:
        """Force and moment left on each band."""
        gradient = self._gravity.copy()
        for i, part in enumerate(self._parts(tension)):
            forces = net(self.rig.springs[i], part, self.pulls[i])
            slope = np.matmul(self._change[i].transpose(0, 2, 1), forces[..., None])[..., 0]
            if i == 0:
                gradient[:-1] += slope[:, :3]
                gradient[1:] += slope[:, 3:]
            else:
                gradient[:1] += slope[:, 3:]
        if self.rig.cords is None:
            gradient[0] = 0.0
        return gradient.ravel()

    def along(self, step: Floats) -> Floats:
        """How much longer a step makes each spring, were everything straight."""
        steps = ends_of(self.rig, step.reshape(-1, 3))
        longer = [
            foreseen(springs, self._tilts[i], steps[i], self.pulls[i], np.empty(springs.shape))
            for i, springs in enumerate(self.rig.springs)
        ]
        return np.concatenate([part.ravel() for part in longer])

    def factor(self, along: Floats, tension: Floats) -> Solve | None:
        """Banded Cholesky of the stiffness; Levenberg's μ is raised until it is positive."""
        parts = zip(self.rig.springs, self._parts(along), self._parts(tension), self.pulls,
                    strict=True)  # fmt: skip
        for springs, stiff, pull, into in parts:
            stiffen(springs, stiff, pull, into)
        blocks = blocks_of(self.rig, self._pose, self.pulls)
        floor = 1e-11 * self.rig.total_n
        for _ in range(MOST_RAISED):
            on = blocks.on + self.mu * np.diag(self._scale) if self.mu else blocks.on
            solve = factored(banded(replace(blocks, on=on)))
            if solve is not None:
                self.mu = self.mu / 4 if self.mu > floor else 0.0
                return solve
            self.mu = max(4 * self.mu, floor)
        return None

    def most(self, step: Floats) -> float:
        """Share of a step that turns no band by too much."""
        return min(1.0, self.turn / max(float(np.abs(step[2::3]).max()), 1e-300))

    def residual(self, left: Floats) -> float:
        """Greatest force, or moment over reach, as a share of the weight."""
        scaled = np.abs(left.reshape(-1, 3)) / (1.0, 1.0, self.rig.reach_mm)
        return float(scaled.max()) / self.rig.total_n

    def _parts(self, values: Floats) -> list[Floats]:
        """Values of all springs, of spans and of cords [spans, springs]."""
        shapes = [springs.shape for springs in self.rig.springs]
        inner = values[: self._inner].reshape(shapes[0])
        return [inner] if len(shapes) == 1 else [inner, values[self._inner :].reshape(shapes[1])]

"""Which forces keep crossing units apart while they bend least?

Units that lie over and under each other bend like beams held flat by the bands. The least bending
that keeps every pair its distance apart is a convex quadratic program; its dual asks for the
contact forces λ ≥ 0 with gaps S λ − t ≥ 0 and λ (S λ − t) = 0, S the flexibility between
meetings. Solved by an interior-point method (Mehrotra's predictor and corrector) and finished on
the meetings that touch. Source: published method, Mehrotra, SIAM J. Optim. 2 (1992) 575; the
program is derived here. Checked: tests/outside/test_heights.py, against clarabel and scipy.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np

from crossfell.order.model import Floats, Ints

ENOUGH = 1e-9  # of the mean distance: gaps and complementarity
MOST = 60  # iterations


class Flexibility(Protocol):
    """S, the flexibility between meetings, and systems with it."""

    def times(self, forces: Floats) -> Floats:
        """S λ."""
        ...

    def factored(self, diagonal: Floats) -> Solved:
        """A way to solve (S + diag) x = b again and again."""
        ...

    def touching(self, which: Ints, wanted: Floats) -> Floats:
        """Forces of the meetings `which` alone that give them the distances `wanted`."""
        ...


class Solved(Protocol):
    """A factored system."""

    def __call__(self, right: Floats, /) -> Floats:
        """Solve for one right-hand side."""
        ...


@dataclass(frozen=True, kw_only=True)
class Contact:
    """Forces [meetings] and how well they were found."""

    force: Floats
    residual: float  # greatest gap too small or force × gap too large, as a share of the distance
    iterations: int

    @cached_property
    def converged(self) -> bool:
        """Whether the residual is small."""
        return self.residual <= 1e3 * ENOUGH


def contact_of(flexibility: Flexibility, distance: Floats, scale: float) -> Contact:
    """Find the contact forces for meetings that want to be `distance` apart.

    `scale` is a typical diagonal of S. Forces are those of beams of unit stiffness and length.
    """
    unit = float(distance.mean())
    wanted = distance / unit
    try:
        force, iterations = _interior(flexibility, wanted, scale)
        force = _finished(flexibility, wanted, force, scale)
    except (RuntimeError, np.linalg.LinAlgError):  # a singular system: not converged, and said so
        return Contact(force=np.zeros(len(wanted)), residual=np.inf, iterations=MOST)
    gap = flexibility.times(force) - wanted
    residual = max(float(-gap.min()), float(np.abs(force * gap).max() * scale), 0.0)
    return Contact(force=force * unit, residual=residual, iterations=iterations)


def _interior(flexibility: Flexibility, wanted: Floats, scale: float) -> tuple[Floats, int]:
    n = len(wanted)
    force = np.full(n, 1 / scale)
    gap = np.ones(n)
    for iteration in range(MOST):
        short = flexibility.times(force) - wanted - gap
        mu = float(force @ gap) / n
        if max(float(np.abs(short).max()), mu * scale) < ENOUGH:
            return force, iteration
        solve = flexibility.factored(gap / force)
        d_force = solve(-short - gap)
        d_gap = -gap - gap / force * d_force
        step = min(_room(force, d_force), _room(gap, d_gap), 1.0)
        aimed = float((force + step * d_force) @ (gap + step * d_gap)) / n
        centre = (aimed / mu) ** 3 * mu - d_force * d_gap
        d_force = solve(-short - gap + centre / force)
        d_gap = centre / force - gap - gap / force * d_force
        step = min(0.995 * min(_room(force, d_force), _room(gap, d_gap)), 1.0)
        force = force + step * d_force
        gap = gap + step * d_gap
    return force, MOST


def _room(value: Floats, change: Floats) -> float:
    """Longest step that keeps every value above nothing."""
    shrinking = change < 0
    if not shrinking.any():
        return np.inf
    return float((-value[shrinking] / change[shrinking]).min())


def _finished(flexibility: Flexibility, wanted: Floats, force: Floats, scale: float) -> Floats:
    """Solve exactly on the meetings that touch; keep the better answer."""
    gap = flexibility.times(force) - wanted
    touching = force * scale > gap
    exact = np.zeros_like(force)
    exact[touching] = flexibility.touching(np.flatnonzero(touching), wanted[touching])
    left = flexibility.times(exact) - wanted
    return exact if exact.min() >= 0 and left.min() >= -ENOUGH else force

"""Which of very many meetings decide how a group of units lies?

Where many units meet, most meetings do not touch. Some, the active set, are asked to keep their
distance; the bent units are then looked at everywhere in one pass, and what comes too near joins
them. When nothing does, the answer is that of the whole program: the others need no force.
"""

from __future__ import annotations

import numpy as np

from crossfell.order.model import Floats, Ints
from crossfell.paths.beams import DenseFlexibility, SparseFlexibility, bent
from crossfell.paths.contact import ENOUGH, Contact, contact_of

DENSE = 400  # meetings up to which a full matrix is faster; measured, bench/heights.py
ROUNDS = 60


class Gaps:
    """Gaps of all meetings for given forces, in one pass over the knots."""

    def __init__(self, over: Ints, under: Ints, at: Floats, stiffness: Floats) -> None:
        unit = np.concatenate((over, under))
        share = np.concatenate((at, at))
        self._order = np.lexsort((share, unit))
        self._line, self._at = unit[self._order], share[self._order]
        self._first = np.searchsorted(self._line, np.arange(len(stiffness) + 1))
        self._soft = 1 / stiffness[unit]

    def gaps(self, force: Floats) -> Floats:
        """Distance of every meeting [meetings]."""
        load = np.concatenate((force, -force)) * self._soft
        z = np.empty(len(load))
        z[self._order] = bent(self._line, self._at, load[self._order], self._first)[0]
        gap: Floats = z[: len(force)] - z[len(force) :]
        return gap


def worked_out(
    over: Ints, under: Ints, at: Floats, distance: Floats, stiffness: Floats, scale: float
) -> Contact:
    """Contact forces of a group of units numbered from 0; arrays [meetings], stiffness [units]."""
    everywhere = Gaps(over, under, at, stiffness)
    asked = np.zeros(len(at), dtype=bool)
    asked[_one_each(over, under, np.abs(at - 0.5))] = True
    force = np.zeros(len(at))
    limit = ENOUGH * float(distance.mean())
    residual, iterations = np.inf, 0
    for _ in range(ROUNDS):
        active = np.flatnonzero(asked)
        kind = DenseFlexibility if len(active) <= DENSE else SparseFlexibility
        flexibility = kind(over[active], under[active], at[active], stiffness)
        found = contact_of(flexibility, distance[active], scale)
        force[:] = 0.0
        force[active] = found.force
        iterations = max(iterations, found.iterations)
        short = distance - everywhere.gaps(force)
        residual = max(found.residual, float(short.max()) / float(distance.mean()))
        near = np.flatnonzero(~asked & (short > limit))
        if not found.converged or not len(near):
            break
        # what does not press is let go: every round bends more, so that none comes back for ever
        asked = force > 1e-9 * force.max()
        asked[near[_one_each(over[near], under[near], -short[near])]] = True
    return Contact(force=force, residual=residual, iterations=iterations)


def _one_each(over: Ints, under: Ints, least: Floats) -> Ints:
    """For every unit, the meeting with the least value."""
    order = np.argsort(least, kind="stable")
    firsts = [order[np.unique(unit[order], return_index=True)[1]] for unit in (over, under)]
    return np.unique(np.concatenate(firsts))

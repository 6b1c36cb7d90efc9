"""How far does each unit come forward or go back where it passes the others?

For every span: least bending of all its units, held flat by the bands, with each meeting at least
half of both thicknesses apart in the drafted order. Units that meet nobody stay flat; groups that
do not meet each other are solved apart, alike groups once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.order.model import Floats, Ints
from crossfell.paths.beams import Few, deflection
from crossfell.paths.contact import Contact, contact_of
from crossfell.paths.meetings import Meetings
from crossfell.paths.working import worked_out

FEW = 24  # meetings up to which all are asked at once; measured, bench/heights.py
MOST_PASSES = 8  # of an interlaced span; more of them are no cloth that beams could tell about
TYPICAL = 2 / 192  # flexibility of two units that meet in the middle


@dataclass(frozen=True, kw_only=True)
class Pressing:
    """How hard units press on each other. Arrays are [meetings]."""

    force: Floats  # of beams of unit length and mean stiffness
    residual: float  # the worst of all groups that were found
    iterations: int  # the most of all groups
    left_flat: tuple[int, ...]  # spans (index from 0) whose heights were not found


def pressing_of(meetings: Meetings, distance_mm: Floats, stiffness: Floats) -> Pressing:
    """Contact forces of every meeting; `distance_mm` is [meetings], `stiffness` [units].

    A span that is interlaced in more than `MOST_PASSES` passes, or whose program is not solved to
    its tolerance, is left flat and named.
    """
    units = len(stiffness)
    over = meetings.span * units + meetings.over
    under = meetings.span * units + meetings.under
    times = np.bincount(np.concatenate((over, under)), minlength=1)
    alone = (times[over] == 1) & (times[under] == 1)
    soft = 1 / stiffness[meetings.over] + 1 / stiffness[meetings.under]
    force = np.where(
        alone, distance_mm / (deflection(meetings.at, meetings.at) * soft), 0.0
    )  # exact for one meeting
    tangled = np.array([len(bends.at) >= MOST_PASSES for bends in meetings.bends], dtype=bool)
    flat = set(np.flatnonzero(tangled).tolist())
    residual, iterations = 0.0, 0
    known: dict[bytes, Contact] = {}
    for group in _groups(over, under, np.flatnonzero(~alone & ~tangled[meetings.span])):
        task = _task(meetings, over, under, group, distance_mm, stiffness)
        name = b"".join(np.round(part, 9).tobytes() for part in task)
        found = known.get(name) or known.setdefault(name, _found(*task))
        if found.converged:
            force[group] = found.force
            residual = max(residual, found.residual)
            iterations = max(iterations, found.iterations)
        else:
            flat.add(int(meetings.span[group[0]]))
    force[np.isin(meetings.span, list(flat))] = 0.0
    return Pressing(
        force=force, residual=residual, iterations=iterations, left_flat=tuple(sorted(flat))
    )


Task = tuple[Ints, Ints, Floats, Floats, Floats]


def _task(
    meetings: Meetings, over: Ints, under: Ints, group: Ints, distance: Floats, stiffness: Floats
) -> Task:
    """One group as units numbered from 0, places, distances [meetings], stiffness [units]."""
    upper, lower = _renamed(over[group], under[group])
    stiff = np.empty(int(max(upper.max(), lower.max())) + 1)
    stiff[upper] = stiffness[meetings.over[group]]
    stiff[lower] = stiffness[meetings.under[group]]
    return upper, lower, meetings.at[group], distance[group], stiff


def _found(over: Ints, under: Ints, at: Floats, distance: Floats, stiffness: Floats) -> Contact:
    if len(at) <= FEW:
        return contact_of(Few(over, under, at, stiffness), distance, TYPICAL)
    return worked_out(over, under, at, distance, stiffness, TYPICAL)


def _groups(over: Ints, under: Ints, among: Ints) -> list[Ints]:
    """Meetings that hang together through shared units, each group in its given order."""
    head: dict[int, int] = {}

    def find(unit: int) -> int:
        while head.setdefault(unit, unit) != unit:
            head[unit] = head[head[unit]]
            unit = head[unit]
        return unit

    one, other = over[among].tolist(), under[among].tolist()
    for a, b in zip(one, other, strict=True):
        head[find(a)] = find(b)
    members: dict[int, list[int]] = {}
    for meeting, a in zip(among.tolist(), one, strict=True):
        members.setdefault(find(a), []).append(meeting)
    return [np.array(group) for group in members.values()]


def _renamed(over: Ints, under: Ints) -> tuple[Ints, Ints]:
    """Units of a group numbered from 0 in the order in which they come, to know alike groups."""
    both = np.column_stack((over, under)).ravel()
    _, first, inverse = np.unique(both, return_index=True, return_inverse=True)
    rank = np.empty(len(first), dtype=np.int64)
    rank[np.argsort(first)] = np.arange(len(first))
    renamed = rank[inverse].reshape(-1, 2)
    return renamed[:, 0], renamed[:, 1]

"""How far does each unit come forward or go back where it passes the others?

For every span: least bending of all its units, held flat by the bands, with each meeting at least
half of both thicknesses apart in the drafted order. Units that meet nobody stay flat; groups that
do not meet each other are solved apart, alike groups once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from crossfell.order.model import Floats, Ints
from crossfell.paths.active_set import worked_out
from crossfell.paths.beams import DenseFlexibility, deflection
from crossfell.paths.contact import Contact, contact_of
from crossfell.paths.meetings import Meetings

ALL_AT_ONCE = 24  # meetings up to which all are asked at once; measured, bench/heights.py
MOST_PASSES = 8  # of an interlaced span; more of them are no cloth that beams could tell about
TYPICAL = 2 / 192  # flexibility of two units that meet in the middle


@dataclass(frozen=True, kw_only=True)
class Pressing:
    """How hard units press on each other. Arrays are [meetings]."""

    force: Floats  # of beams of unit length and mean stiffness
    residual: float  # the worst of all groups that were found
    iterations: int  # the most of all groups
    left_flat: tuple[int, ...]  # spans (index from 0) whose heights were not found
    known: Mapping[bytes, Contact] = field(repr=False)  # of each group of meetings


def pressing_of(
    meetings: Meetings, distance_mm: Floats, stiffness: Floats, former: Pressing | None = None
) -> Pressing:
    """Contact forces of every meeting; `distance_mm` is [meetings], `stiffness` [units].

    A span that is interlaced in more than `MOST_PASSES` passes, or whose program is not solved to
    its tolerance, is left flat and named. Groups that `former`, the pressing before an edit, has
    are not solved again: what is solved is the group as it is rounded, so that the answer is the
    same wherever it was found first.
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
    groups = _groups(over, under, np.flatnonzero(~alone & ~tangled[meetings.span]))
    rows = _rows(groups, meetings, distance_mm, stiffness)
    known = former.known if former else {}
    contacts: dict[bytes, Contact] = {}
    for alike in _alike(groups, rows):
        one = rows[alike[0]]
        name = one.tobytes()
        found = contacts[name] = known.get(name) or _found(one)
        force[groups.meetings[alike]] = found.force
        if not found.converged:
            flat.update(meetings.span[groups.meetings[alike[:, 0]]].tolist())
    force[np.isin(meetings.span, list(flat))] = 0.0
    solved = [contact for contact in contacts.values() if contact.converged]
    return Pressing(
        force=force,
        residual=max((contact.residual for contact in solved), default=0.0),
        iterations=max((contact.iterations for contact in solved), default=0),
        left_flat=tuple(sorted(flat)),
        known=MappingProxyType(contacts),
    )


@dataclass(frozen=True)
class _Groups:
    """Meetings that hang together through shared units, group after group, each in their order."""

    meetings: Ints
    first: Ints  # [groups + 1] where each begins
    over: Ints  # units of each, numbered within the group in the order in which they come
    under: Ints


def _groups(over: Ints, under: Ints, among: Ints) -> _Groups:
    group = _heads(over[among], under[among])
    order = np.argsort(group, kind="stable")
    among = among[order]
    new = np.flatnonzero(np.diff(group[order], prepend=-1))
    first = np.append(new, len(among))
    both = np.column_stack((over[among], under[among])).ravel()
    _, come, inverse = np.unique(both, return_index=True, return_inverse=True)
    number = np.empty(len(come), dtype=np.int64)
    number[np.argsort(come)] = np.arange(len(come))
    local = number[inverse].reshape(-1, 2)
    local -= np.repeat(local[new, 0], np.diff(first))[:, None]  # its first unit comes first
    return _Groups(meetings=among, first=first, over=local[:, 0], under=local[:, 1])


def _heads(one: Ints, other: Ints) -> Ints:
    """For each pair of numbers, the least number that it hangs together with."""
    head = np.arange(int(max(one.max(initial=-1), other.max(initial=-1))) + 1)
    while True:
        least = np.minimum(head[one], head[other])
        if (head[one] == least).all() and (head[other] == least).all():
            return least
        np.minimum.at(head, head[one], least)
        np.minimum.at(head, head[other], least)
        head = head[head]


def _rows(groups: _Groups, meetings: Meetings, distance: Floats, stiffness: Floats) -> Floats:
    """[meetings, 6] all that the forces of a group depend on, rounded: to know alike groups."""
    m = groups.meetings
    columns = (
        groups.over,
        groups.under,
        meetings.at[m],
        distance[m],
        stiffness[meetings.over[m]],
        stiffness[meetings.under[m]],
    )
    rows: Floats = np.column_stack(columns).astype(np.float64).round(9)
    return rows


def _alike(groups: _Groups, rows: Floats) -> Iterator[Ints]:
    """Indices into `rows` [groups, meetings] of groups that are alike in all that matters."""
    sizes = np.diff(groups.first)
    for size in sorted(set(sizes.tolist())):
        which = groups.first[:-1][sizes == size][:, None] + np.arange(size)
        names = rows[which].reshape(len(which), -1).view(f"V{rows[0].nbytes * size}")[:, 0]
        kind = np.unique(names, return_inverse=True)[1]
        order = np.argsort(kind, kind="stable")
        yield from np.split(which[order], np.cumsum(np.bincount(kind))[:-1])


def _found(rows: Floats) -> Contact:
    """Contact forces of one group."""
    over, under = rows[:, 0].astype(np.int64), rows[:, 1].astype(np.int64)
    at, distance = rows[:, 2], rows[:, 3]
    stiffness = np.empty(int(max(over.max(), under.max())) + 1)
    stiffness[over], stiffness[under] = rows[:, 4], rows[:, 5]
    if len(at) <= ALL_AT_ONCE:
        return contact_of(DenseFlexibility(over, under, at, stiffness), distance, TYPICAL)
    return worked_out(over, under, at, distance, stiffness, TYPICAL)

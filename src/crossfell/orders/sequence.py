"""In which order are pieces woven on one loom, so that promises are kept?

Begun pieces go first: a warp stays on the loom until it is off. The rest goes by the earliest due
day, which makes the latest as little late as any order can (Jackson, 1955). Where a promise breaks
all the same, the fewest are broken (Moore, 1968, with Hodgson's rule: go by due days, and whenever
one is late, put the longest so far behind). Both are exact and quick; days are whole days of work.
Checked: tests/orders/test_sequence.py, against CP-SAT and against all orders of small cases.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class DueWork:
    """A piece to weave: days of work left, and how many days of work there are until it is due."""

    days: int
    due: int | None  # None: not promised
    begun: bool = False


@dataclass(frozen=True, kw_only=True)
class Weaving:
    """Indices of jobs in the order of weaving, and what no order betters."""

    order: tuple[int, ...]
    late: int  # promises that are broken: no order breaks fewer
    least_lateness: int  # days: in no order is the latest less late than this; 0 when none is


def sequence_of(jobs: Sequence[DueWork]) -> Weaving:
    """The order of weaving: fewest promises broken, otherwise by due days."""
    begun = [k for k, job in enumerate(jobs) if job.begun]
    rest = [k for k, job in enumerate(jobs) if not job.begun]
    by_due = [*begun, *sorted(rest, key=lambda k: _due(jobs[k]))]
    latest = max(_lateness(jobs, by_due), default=0)
    kept, broken = _fewest_late(jobs, by_due, len(begun))
    order = by_due if latest <= 0 else [*begun, *kept, *broken]
    late = sum(by > 0 for by in _lateness(jobs, order))
    return Weaving(order=tuple(order), late=late, least_lateness=max(latest, 0))


def _due(job: DueWork) -> float:
    return float("inf") if job.due is None else job.due


def _lateness(jobs: Sequence[DueWork], order: Sequence[int]) -> list[int]:
    """Days late of each that is promised, in an order; less than nothing when early."""
    done, late = 0, []
    for k in order:
        done += jobs[k].days
        due = jobs[k].due
        if due is not None:
            late.append(done - due)
    return late


def _fewest_late(
    jobs: Sequence[DueWork], by_due: Sequence[int], begun: int
) -> tuple[list[int], list[int]]:
    """Which are woven in time and which are put behind, both by due days."""
    done = sum(jobs[k].days for k in by_due[:begun])
    heap: list[tuple[int, int]] = []
    behind = set()
    for at, k in enumerate(by_due[begun:]):
        heapq.heappush(heap, (-jobs[k].days, -at))
        done += jobs[k].days
        if done > _due(jobs[k]):
            days, place = heapq.heappop(heap)
            done += days
            behind.add(by_due[begun - place])
    rest = by_due[begun:]
    return [k for k in rest if k not in behind], [k for k in rest if k in behind]

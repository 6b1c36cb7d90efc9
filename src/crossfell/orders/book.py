"""When will each piece be done, which promise breaks, and from when could a new one be offered?

Days go by the likely minutes; low and high ones give the range of the day on which each is done.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from crossfell.draft.model import Week
from crossfell.orders.days import Workdays
from crossfell.orders.sequence import DueWork, sequence_of
from crossfell.orders.standing import IDEA, LOOM, PROMISED, PieceState, standings
from crossfell.plan.several import NeededTogether, PiecesOf, together


@dataclass(frozen=True, kw_only=True)
class Scheduled:
    """A piece in the days to come."""

    standing: PieceState
    first: date
    done: tuple[date, date, date]  # low, likely, high

    @property
    def keeps(self) -> str:
        """Whether its promise is kept: yes, no, perhaps; nothing where none was given."""
        due = self.standing.promised
        if due is None:
            return ""
        return "no" if self.done[1] > due else "perhaps" if self.done[2] > due else "yes"


@dataclass(frozen=True, kw_only=True)
class OrderBook:
    """The order book of a folder on a day."""

    today: date
    standings: tuple[PieceState, ...]
    slots: tuple[Scheduled, ...]  # in the order of weaving
    late: int  # promises broken, going by likely minutes; no order breaks fewer
    least_lateness: int  # days of work: in no order is the latest less late
    free: tuple[date, date, date]  # first day on which a new piece can begin
    offers: tuple[Scheduled, ...]  # each idea, if it were begun then
    buy: NeededTogether | None  # for all that is promised and not begun


def order_book(folder: Path, today: date) -> OrderBook:
    """Read a folder's pieces and plan them. Errors: OSError, ValueError without days of work."""
    found = standings(folder)
    week = next((s.piece.draft.week for s in found), Week())
    days = Workdays(week=week, start=today)
    due = [s for s in found if s.state in {LOOM, PROMISED}]
    jobs = [_job(s, days) for s in due]
    sequence = sequence_of(jobs)
    slots, ends = _slots([due[k] for k in sequence.order], days)
    ideas = [_slots([s], days, ends)[0][0] for s in found if s.state == IDEA]
    next_ = [PiecesOf(draft=s.piece.draft, amounts=s.piece.amounts) for s in due if s.state != LOOM]
    low, likely, high = (days.day(end) for end in ends)
    return OrderBook(
        today=today,
        standings=found,
        slots=slots,
        late=sequence.late,
        least_lateness=sequence.least_lateness,
        free=(low, likely, high),
        offers=tuple(ideas),
        buy=together(next_) if next_ else None,
    )


def _job(standing: PieceState, days: Workdays) -> DueWork:
    due = None if standing.promised is None else days.until(standing.promised)
    return DueWork(days=standing.days[1], due=due, begun=standing.state == LOOM)


def _slots(
    order: Sequence[PieceState], days: Workdays, ends: tuple[int, int, int] = (0, 0, 0)
) -> tuple[tuple[Scheduled, ...], tuple[int, int, int]]:
    """Lay pieces one after another into days, and how many days of work are taken then."""
    slots = []
    for standing in order:
        first = days.day(ends[1])
        low, likely, high = (end + more for end, more in zip(ends, standing.days, strict=True))
        ends = (low, likely, high)
        done = (days.day(max(low - 1, 0)), days.day(max(likely - 1, 0)), days.day(max(high - 1, 0)))
        slots.append(Scheduled(standing=standing, first=first, done=done))
    return tuple(slots), ends

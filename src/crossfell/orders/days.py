"""Which day is it after so many days of work?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from crossfell.draft.model import Week

MOST_DAYS = 20_000  # of the calendar: beyond that nobody plans


@dataclass(frozen=True, kw_only=True)
class Workdays:
    """Her days of work from a day on, that day included. Errors: ValueError without any."""

    week: Week
    start: date

    def day(self, number: int) -> date:
        """The day of work with this number; 0 is the first."""
        for k, day in enumerate(self._days()):
            if k == number:
                return day
        raise ValueError("there are not so many days of work: all are days off")

    def until(self, day: date) -> int:
        """How many days of work there are until a day, that day included."""
        return sum(1 for _ in self._days(day))

    def _days(self, last: date | None = None) -> Iterator[date]:
        off = [(date.fromisoformat(a), date.fromisoformat(b)) for a, b in self.week.off]
        for k in range(MOST_DAYS):
            day = self.start + timedelta(days=k)
            if last is not None and day > last:
                return
            if day.weekday() in self.week.days and not any(a <= day <= b for a, b in off):
                yield day

"""How long does it take: each span, each day, the whole piece?

Minutes per kind of step stand in minutes.toml and in [minutes] of the draft; drying is not work.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from crossfell.plan.model import Day, Step, Times

LOW, HIGH = 0.75, 1.5  # a plausible range around usual minutes; common practice, no source
DAY_MIN = 24 * 60.0


def times_of(steps: Iterable[Step]) -> Times:
    """Minutes of work of these steps, with a range."""
    likely = sum(step.minutes for step in steps)
    return Times(low=LOW * likely, likely=likely, high=HIGH * likely)


def span_times_of(steps: Sequence[Step]) -> dict[int, Times]:
    """Minutes of each span, by number: its moves, and the band that is woven after it."""
    groups: dict[int, list[Step]] = {}
    for step in steps:
        number = step.span or (step.band - 1 if step.band else 0)
        if number:
            groups.setdefault(number, []).append(step)
    return {number: times_of(group) for number, group in groups.items()}


def days_of(steps: Sequence[Step], day_min: float) -> tuple[Day, ...]:
    """Share the work out into days of `day_min` minutes with drying, ending where she may stop.

    A night dries what is wet. A stretch longer than a day without a place to stop is a day of its
    own, and too long.
    """
    days: list[Day] = []
    for part in _stretches(steps):
        work = sum(step.minutes for step in part)
        wait = sum(step.not_before_min for step in part)
        if days and _total(days[-1]) + work + wait <= day_min:
            last = days.pop()
            first, work, wait = last.first, last.work_min + work, last.wait_min + wait
        else:
            first = part[0].number
            if days:
                wait = max(wait - (DAY_MIN - day_min), 0.0)
        days.append(Day(first=first, last=part[-1].number, work_min=work, wait_min=wait))
    return tuple(days)


def _total(day: Day) -> float:
    return day.work_min + day.wait_min


def _stretches(steps: Sequence[Step]) -> list[list[Step]]:
    stretches: list[list[Step]] = [[]]
    for step in steps:
        stretches[-1].append(step)
        if step.may_stop:
            stretches.append([])
    return [part for part in stretches if part]

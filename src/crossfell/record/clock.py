"""When did it happen, and how long did it take, whatever the clock on the wall did meanwhile?

A stamp has the time of day with its zone, and a reading of a clock that only runs forwards. Two
stamps of the same start of the machine are compared by the second; others by the first.
"""

from __future__ import annotations

import time
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from functools import cache
from pathlib import Path

JUMPED_MS = 60_000  # the two clocks differ by more: somebody set the clock on the wall


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """One moment."""

    utc_ms: int  # since 1970, by the clock on the wall
    offset_min: int  # of the zone from UTC, east positive
    boot: str  # which start of the machine the running clock belongs to
    run_ms: int  # of the clock that only runs forwards

    @property
    def local(self) -> datetime:
        """Time of day where it happened."""
        zone = timezone(timedelta(minutes=self.offset_min))
        return datetime.fromtimestamp(self.utc_ms / 1000, tz=zone)

    @property
    def text(self) -> str:
        """As ISO 8601, to the second, with its offset."""
        return self.local.isoformat(timespec="seconds")

    def earlier(self, by_ms: int) -> Stamp:
        """The moment this long before."""
        return Stamp(
            utc_ms=self.utc_ms - by_ms,
            offset_min=self.offset_min,
            boot=self.boot,
            run_ms=self.run_ms - by_ms,
        )


@dataclass(frozen=True, slots=True)
class Elapsed:
    """Time between two stamps; `ms` is None when no clock can tell."""

    ms: int | None
    clock_was_set: bool = False


def elapsed(start: Stamp, end: Stamp) -> Elapsed:
    """Time from one stamp to another, never negative."""
    by_wall = end.utc_ms - start.utc_ms
    if start.boot == end.boot:
        by_run = end.run_ms - start.run_ms
        return Elapsed(max(by_run, 0), abs(by_run - by_wall) > JUMPED_MS)
    return Elapsed(by_wall) if by_wall >= 0 else Elapsed(None, clock_was_set=True)


Clock = Callable[[], Stamp]


def system_clock() -> Stamp:
    """Now, by this machine."""
    here = datetime.now(UTC).astimezone()
    offset = here.utcoffset() or timedelta()
    return Stamp(
        utc_ms=time.time_ns() // 1_000_000,
        offset_min=round(offset.total_seconds() / 60),
        boot=_boot(),
        run_ms=_running_ms(),
    )


def _running_ms() -> int:
    """Milliseconds of a clock that nobody sets; where it can be had, one that counts sleep too."""
    kind = getattr(time, "CLOCK_BOOTTIME", None)
    nanoseconds = time.monotonic_ns() if kind is None else time.clock_gettime_ns(kind)
    return nanoseconds // 1_000_000


@cache
def _boot() -> str:
    """Which start of the machine it is; where that has no name, which start of the program."""
    try:
        return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except OSError:
        return uuid.uuid4().hex

"""How long did each step take, and what of the time was a pause?

A step's time runs from what happened before it to its tick. A pause that she said, a screen that
was closed, a stretch far longer than the step can take: those are pauses, not work. Ticks that
come in a burst stand for one stretch of work, and none of them counts as measured.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from crossfell.record.clock import Stamp, elapsed
from crossfell.record.events import Event, StepMark

PAUSE_MIN = 20.0  # a stretch at least this long, and three times as long as planned, is a pause
PAUSE_TIMES = 3.0  # both common practice, no source
BURST_MS = 3000  # a tick so soon after another was not a step's work by itself
_MS = 60_000.0


@dataclass(frozen=True, kw_only=True)
class Worked:
    """One tick, and the time that it took."""

    step: StepMark
    at: Stamp
    minutes: float  # of work; 0 where it cannot be told
    measured: bool  # whether the minutes are those of this step alone
    pause_min: float = 0.0  # of pauses since the tick before
    undone: bool = False  # taken back later: time spent, but not a sample of the step
    clock_was_set: bool = False


@dataclass(kw_only=True)
class _Watch:
    """The stopwatch while the events are gone through."""

    since: Stamp | None = None  # work runs from here
    paused_at: Stamp | None = None
    carried_ms: int = 0  # work on this step before the pauses
    pause_ms: int = 0
    sure: bool = True
    was_set: bool = False

    def run(self, to: Stamp) -> int | None:
        """Milliseconds of the running stretch; None when there is none, or no clock can tell."""
        if self.since is None:
            return None
        took = elapsed(self.since, to)
        self.was_set = self.was_set or took.clock_was_set
        return took.ms

    def pause(self, at: Stamp) -> None:
        """Stop."""
        took = self.run(at)
        if took is not None:
            self.carried_ms += took
        self.since, self.paused_at = None, at

    def go_on(self, at: Stamp) -> None:
        """Run again."""
        if self.paused_at is not None:
            self.pause_ms += elapsed(self.paused_at, at).ms or 0
        self.since, self.paused_at = at, None


def hours_of(events: Iterable[Event]) -> tuple[Worked, ...]:
    """What each tick took, in the order in which they were saved."""
    watch, rows = _Watch(), list[Worked]()
    done: dict[str, int] = {}
    for event in events:
        if event.kind == "start":
            _started(watch, event.at)
        elif event.kind == "pause" and watch.since is not None:
            watch.pause(event.at)
        elif event.kind == "tick" and event.says.get("as_woven"):
            continue
        elif event.step is None:
            continue
        elif event.kind == "tick" and event.step.key not in done:
            done[event.step.key] = len(rows)
            row = _ticked(watch, event.step, event.at)
            if rows and row.measured and row.minutes * _MS < BURST_MS:
                rows[-1] = replace(rows[-1], measured=False)
                row = replace(row, measured=False)
            rows.append(row)
            watch = _Watch(since=event.at)
        elif event.kind == "back" and done and next(reversed(done)) == event.step.key:
            at = done.pop(event.step.key)
            rows[at] = replace(rows[at], undone=True)
    return tuple(rows)


def _started(watch: _Watch, at: Stamp) -> None:
    """A screen opened: a new start, unless work is just going on at another one."""
    if watch.since is None:
        watch.go_on(at)
        return
    took = watch.run(at)
    if took is None or took > PAUSE_MIN * _MS:
        watch.paused_at = watch.since
        watch.sure = False
        watch.go_on(at)


def _ticked(watch: _Watch, step: StepMark, at: Stamp) -> Worked:
    took = watch.run(at)
    limit = max(PAUSE_MIN, PAUSE_TIMES * step.minutes) * _MS
    sure = watch.sure and took is not None
    pause_ms = watch.pause_ms
    if took is not None and took > limit:
        pause_ms, took, sure = pause_ms + took, 0, False
    return Worked(
        step=step,
        at=at,
        minutes=((took or 0) + watch.carried_ms) / _MS,
        measured=sure,
        pause_min=pause_ms / _MS,
        clock_was_set=watch.was_set,
    )


@dataclass(frozen=True, kw_only=True)
class KindHours:
    """Planned against real, for one kind of step."""

    kind: str
    steps: int  # done
    measured: int  # of them
    planned_min: float  # of those measured
    real_min: float  # of those measured


def by_kind(rows: Iterable[Worked]) -> tuple[KindHours, ...]:
    """Hours by kind of step, in the order in which the kinds first came."""
    groups: dict[str, list[Worked]] = {}
    for row in rows:
        if not row.undone:
            groups.setdefault(row.step.kind, []).append(row)
    out = []
    for kind, group in groups.items():
        sure = [row for row in group if row.measured]
        out.append(
            KindHours(
                kind=kind,
                steps=len(group),
                measured=len(sure),
                planned_min=sum(row.step.minutes for row in sure),
                real_min=sum(row.minutes for row in sure),
            )
        )
    return tuple(out)

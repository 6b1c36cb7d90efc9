"""What is still drying, and from when on may it be handled?

The timer of a step runs from the tick of the step before it. When she knows better, she says how
long it dries from now on (an event `drying`), and that holds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.plan.model import Step
from crossfell.record.clock import Stamp, elapsed
from crossfell.record.events import Event


@dataclass(frozen=True, kw_only=True)
class Drying:
    """A timer."""

    since: Stamp
    minutes: float
    left_min: float  # 0 when it is over

    @property
    def until(self) -> Stamp:
        """When it is over."""
        return self.since.earlier(-round(self.minutes * 60_000))


def drying_before(step: Step, events: Sequence[Event], now: Stamp) -> Drying | None:
    """The timer that the next step waits for; None when it waits for nothing.

    Where no clock can tell how long it has dried (the clock was set back over a restart), it has
    not dried at all: she sees the band and decides.
    """
    last = next((e for e in reversed(events) if e.kind == "tick"), None)
    said = next((e for e in reversed(events) if e.kind in {"drying", "tick"}), None)
    if said is not None and said.kind == "drying":
        since, minutes = said.at, float(said.says["minutes"])
    elif last is not None and step.not_before_min:
        since, minutes = last.at, step.not_before_min
    else:
        return None
    dried_min = (elapsed(since, now).ms or 0) / 60_000
    return Drying(since=since, minutes=minutes, left_min=max(minutes - dried_min, 0.0))

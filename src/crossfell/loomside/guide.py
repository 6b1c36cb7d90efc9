"""Who leads her: the plan of one draft and its record, as one thing that can be asked and told.

Every screen and the terminal lean on this. A tick is in the record before anything says "done";
the draft is read again when it has changed, and she goes on at the right step.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType

from crossfell.draft.files import workshops_of
from crossfell.loomside.detours import led, ways_of
from crossfell.loomside.leading import CannotLead, LedPlan, plan_of_file, plan_of_texts
from crossfell.plan.model import Step, Times
from crossfell.record.clock import Clock, system_clock
from crossfell.record.drying import Drying, drying_before
from crossfell.record.events import Event
from crossfell.record.hours import hours_of
from crossfell.record.learned import learned_from, times_with
from crossfell.record.progress import Progress, done_steps, progress_of
from crossfell.record.store import Record, record_path

_NOTHING: Mapping[str, object] = MappingProxyType({})


@dataclass(frozen=True, kw_only=True)
class Now:
    """Where she is."""

    revision: int  # events in the record: grows with each
    plan: LedPlan
    progress: Progress
    drying: Drying | None
    left: Times  # minutes of work to the end
    to_stop: Times | None  # minutes of work to the next good place to end the day
    own: int  # of the steps to come, those whose minutes she has shown herself
    doubt: str  # what she should know before she goes on; can be empty

    @property
    def step(self) -> Step | None:
        """The step to do; None when the piece is done."""
        at = self.progress.at
        return self.plan.steps[at] if at < len(self.plan.steps) else None


class Guide:
    """Leads through one draft. Errors when made: CannotLead, RecordRefused, NotSaved, OSError."""

    def __init__(self, file: Path, *, clock: Clock = system_clock) -> None:
        self.file = file
        self.clock = clock
        self._lock = threading.RLock()
        self._read_at = _print_of(file)
        self._base = plan_of_file(file)  # of the draft as it stands
        self._plan = self._base  # with the ways back from what went wrong
        self._doubt = ""
        self._earlier: dict[str, LedPlan | None] = {}
        self._events: tuple[Event, ...] = ()
        self._now: Now | None = None
        self.record = Record(record_path(file))
        self.record.remember_draft(self._base.piece.draft, clock())

    def now(self) -> Now:
        """Where she is at this moment."""
        with self._lock:
            self._read_again()
            new = self.record.events(after=len(self._events))
            self._events += new
            self._lead(new)
            if new or self._now is None or self._now.plan is not self._plan:
                self._now = _where_she_is(self._plan, self._events)
            now = self._now
            drying = drying_before(now.step, self._events, self.clock()) if now.step else None
            doubt = " ".join(part for part in (self._doubt, now.progress.says) if part)
            return replace(now, drying=drying, doubt=doubt)

    def plan_of(self, draft: str) -> LedPlan | None:
        """The plan of a text of the draft, by hash: this one, or an earlier one of the record."""
        with self._lock:
            now = self.now().plan
            if draft in {now.draft, self._base.draft}:
                return now if draft == now.draft else self._base
            if draft not in self._earlier:
                self._earlier[draft] = self._earlier_plan(draft)
            return self._earlier[draft]

    def tell(self, events: Sequence[Event]) -> tuple[bool, ...]:
        """Write events; for each whether it was new. Errors: NotSaved."""
        return self.record.add(events)

    def event(
        self, kind: str, *, index: int | None = None, says: Mapping[str, object] = _NOTHING
    ) -> Event:
        """An event of now, at a step of the plan (index from 0), or at none."""
        return Event(
            kind=kind,
            at=self.clock(),
            draft=self._base.draft,
            step=None if index is None else self._plan.mark(index),
            says=says,
        )

    def done(self) -> Now:
        """The step to do is done. Errors: NotSaved, and then it is not."""
        now = self.now()
        if now.step is not None:
            self.tell([self.event("tick", index=now.progress.at)])
        return self.now()

    def back(self) -> Now:
        """The last step ticked is not done after all. Errors: NotSaved."""
        now = self.now()
        if now.progress.done:
            last = now.progress.done[-1]
            event = Event(kind="back", at=self.clock(), draft=self._base.draft, step=last)
            self.tell([event])
        return self.now()

    def close(self) -> None:
        """Close the record."""
        self.record.close()

    def _read_again(self) -> None:
        """Take up a draft that has changed; one that has errors now is waited for."""
        try:
            found = _print_of(self.file)
            if found == self._read_at:
                return
            self._read_at = found
            self._base = plan_of_file(self.file)
        except (OSError, CannotLead) as problem:
            self._doubt = f"{problem} The plan is the one from before."
            return
        self._doubt = ""
        self._plan = led(self._base, self._events)
        self.record.remember_draft(self._base.piece.draft, self.clock())

    def _lead(self, new: Sequence[Event]) -> None:
        """Take up ways back that were chosen since."""
        if any(event.kind == "mistake" for event in new):
            self._plan = led(self._base, self._events)

    def _earlier_plan(self, draft: str) -> LedPlan | None:
        name, _, ways = draft.partition("-")
        texts = self.record.drafts().get(name)
        base = None if texts is None else plan_of_texts(*texts)
        if base is None or not ways.isdecimal():
            return base
        return led(base, ways_of(base, self._events)[: int(ways)])


def _print_of(file: Path) -> tuple[bytes, ...]:
    """The draft and the workshop as bytes: whether anything changed."""
    read = (file, *workshops_of(file))
    return tuple(path.read_bytes() for path in read if path.is_file())


def _where_she_is(plan: LedPlan, events: Sequence[Event]) -> Now:
    """All but what depends on the hour."""
    progress = progress_of(plan.steps, plan.keys, done_steps(events))
    to_come = plan.steps[progress.at :]
    learned = learned_from(hours_of(events))
    side = plan.steps[progress.at - 1].side if progress.at else "bench"
    left, own = times_with(to_come, learned, side=side)
    stop = next((i for i, step in enumerate(to_come) if step.may_stop), None)
    return Now(
        revision=len(events),
        plan=plan,
        progress=progress,
        drying=None,
        left=left,
        to_stop=None if stop is None else times_with(to_come[: stop + 1], learned)[0],
        own=own,
        doubt="",
    )

"""What was really done, from the record that `crossfell loom` writes beside the draft?

The record is only read. Where there is none, or none that can be read, papers have blanks.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from pathlib import Path

from crossfell.draft.model import Draft
from crossfell.piece import Piece
from crossfell.record.events import Event
from crossfell.record.hours import KindHours, Worked, by_kind, hours_of
from crossfell.record.identity import keys_of
from crossfell.record.opening import RecordRefused
from crossfell.record.progress import done_steps, progress_of
from crossfell.record.store import read_record, record_path
from crossfell.record.telling import NOTED, days_worked, noted_text

SHOW_IT = ("handover", "booklet")


@dataclass(frozen=True, kw_only=True)
class Done:
    """What the record says."""

    events: tuple[Event, ...] = ()
    worked: tuple[Worked, ...] = ()  # a row for each tick, also those taken back
    refused: str = ""  # why the record could not be read
    kinds: tuple[KindHours, ...] = field(default=())

    @property
    def begun(self) -> str:
        """Day of the first tick, as 2026-11-25; empty when nothing is done."""
        return self.worked[0].at.text[:10] if self.worked else ""

    @property
    def cut_down(self) -> str:
        """Day on which it was cut from the loom."""
        days = [row.at.text[:10] for row in self._standing if row.step.kind == "cut-down"]
        return days[-1] if days else ""

    @property
    def steps(self) -> int:
        """How many steps are done."""
        return len({row.step.key for row in self._standing})

    @property
    def days(self) -> int:
        """On how many days something was done."""
        return len(days_worked(self.worked))

    @property
    def hours(self) -> float:
        """Work, in hours, with what was undone again, without pauses."""
        return sum(row.minutes for row in self.worked) / 60

    @property
    def hours_planned(self) -> float:
        """What the same steps were planned to take."""
        return sum(row.step.minutes for row in self._standing) / 60

    @property
    def not_measured(self) -> int:
        """Ticks whose time is not known, or not of that step alone."""
        return sum(not row.measured for row in self.worked)

    def lots(self, yarn: str) -> tuple[str, ...]:
        """Lots of a yarn that were noted, each once, in their order."""
        said = (e.says["lot"] for e in self.events if e.kind == "lot" and e.says["yarn"] == yarn)
        return tuple(dict.fromkeys(map(str, said)))

    def used_g(self, yarn: str) -> float | None:
        """What of a yarn was used when it was weighed last."""
        said = [
            float(e.says["mass_g"])
            for e in self.events
            if e.kind == "used" and e.says["yarn"] == yarn
        ]
        return said[-1] if said else None

    def noted(self, *kinds: str) -> tuple[tuple[str, str, str], ...]:
        """Day, span or band, and what was noted, for kinds of events; all of them without any."""
        return tuple(
            (event.at.text[:10], _where(event), noted_text(event))
            for event in self.events
            if event.kind in NOTED and (not kinds or event.kind in kinds)
        )

    @property
    def photographs(self) -> tuple[tuple[str, str, str], ...]:
        """Day, span or band, and file."""
        return tuple(
            (event.at.text[:10], _where(event), str(event.says["path"]))
            for event in self.events
            if event.kind == "photo"
        )

    @property
    def _standing(self) -> list[Worked]:
        return [row for row in self.worked if not row.undone]


def done_of(draft: Draft) -> Done:
    """Read the record of a draft that lies in a file."""
    path = record_path(Path(draft.file)) if draft.file else None
    if path is None or not path.exists():
        return Done()
    try:
        events, _ = read_record(path)
    except RecordRefused as problem:
        return Done(refused=str(problem))
    worked = hours_of(events)
    return Done(events=events, worked=worked, kinds=by_kind(worked))


def _where(event: Event) -> str:
    step = event.step
    if step is None or not (step.span or step.band):
        return ""
    return f"span {step.span}" if step.span else f"band {step.band}"


def steps_done(piece: Piece) -> int:
    """How many steps of the plan are behind her, by the record; 0 without one."""
    steps, marks = piece.plan.steps, done_steps(done_of(piece.draft).events)
    return progress_of(steps, keys_of(steps, piece.order.names), marks).at


def from_record(draft: Draft) -> dict[str, str]:
    """For each part of `make` that shows the record: a mark that changes when the record does."""
    done = done_of(draft)
    if not (done.events or done.refused):
        return {}
    text = "\0".join([done.refused, *(event.id for event in done.events)])
    return dict.fromkeys(SHOW_IT, f" record {hashlib.sha256(text.encode()).hexdigest()[:16]}")

"""Where does each piece of a folder stand: done, on the loom, promised, an idea?

What is done is what was ticked in its record; what is left rests on her own minutes, learned from
all records of the folder, and on the usual ones where she has none.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from crossfell.draft.files import WORKSHOP, read_file
from crossfell.piece import Piece
from crossfell.plan.minutes import days_of
from crossfell.plan.model import Step, Times
from crossfell.plan.own_minutes import usual_minutes
from crossfell.record.events import Event
from crossfell.record.hours import hours_of
from crossfell.record.identity import keys_of
from crossfell.record.learned import Learned, learned_from, times_with
from crossfell.record.opening import RecordRefused
from crossfell.record.progress import done_steps, progress_of
from crossfell.record.store import read_record, record_path

DEEPEST = 3  # folders within the folder that are looked through
DONE, LOOM, PROMISED, IDEA, WRONG = "done", "on the loom", "promised", "idea", "has errors"


@dataclass(frozen=True, kw_only=True)
class PieceState:
    """A piece and where it stands."""

    file: Path
    piece: Piece
    state: str
    says: str = ""  # what is wrong with it or its record
    steps: int = 0
    done: int = 0
    planned_min: float = 0.0
    worked_min: float = 0.0
    left: Times = Times(low=0.0, likely=0.0, high=0.0)  # minutes
    own: int = 0  # steps left whose minutes are hers
    days: tuple[int, int, int] = (0, 0, 0)  # of work left: low, likely, high

    @property
    def title(self) -> str:
        """Its title, and its number where it has one."""
        about = self.piece.draft.about
        return f"{about.title} {about.number}".strip()

    @property
    def promised(self) -> date | None:
        """The day on which it is promised."""
        said = self.piece.draft.about.promised
        return date.fromisoformat(said) if said else None


def standings(folder: Path) -> tuple[PieceState, ...]:
    """Every piece of a folder and of the folders in it, by name."""
    files = list(drafts_in(folder))
    records = {file: _record(file) for file in files}
    learned = learned_from(row for events, _ in records.values() for row in hours_of(events))
    return tuple(_standing(file, *records[file], learned) for file in files)


def drafts_in(folder: Path) -> Iterator[Path]:
    """Drafts of a folder, by name: text files of ours that tell of a warp."""
    for file in sorted(folder.rglob("*.toml")):
        ways = file.relative_to(folder).parts
        if len(ways) > DEEPEST + 1 or any(part.startswith(".") for part in ways):
            continue
        if file.name != WORKSHOP and file.is_file() and b"[warp]" in file.read_bytes():
            yield file


def _record(file: Path) -> tuple[tuple[Event, ...], str]:
    """What was recorded, and what is wrong with the record."""
    path = record_path(file)
    if not path.exists():
        return (), ""
    try:
        return read_record(path)[0], ""
    except RecordRefused as problem:
        return (), str(problem)


def _standing(
    file: Path, events: Sequence[Event], says: str, learned: Mapping[str, Learned]
) -> PieceState:
    piece = Piece(read_file(file))
    if not piece.computable:
        wrong = f"`crossfell check {file.name}` says what is wrong"
        return PieceState(file=file, piece=piece, state=WRONG, says=wrong)
    steps = piece.going_on.plan.steps
    keys = keys_of(steps, piece.going_on.order.names)
    at = progress_of(steps, keys, done_steps(events)).at
    left, own = times_with(steps[at:], learned)
    state = PROMISED if piece.draft.about.promised else IDEA
    if at:
        state = DONE if at == len(steps) else LOOM
    return PieceState(
        file=file,
        piece=piece,
        state=state,
        says=says,
        steps=len(steps),
        done=at,
        planned_min=sum(step.minutes for step in steps),
        worked_min=sum(row.minutes for row in hours_of(events)),
        left=left,
        own=own,
        days=_days(piece, steps[at:], left),
    )


def _days(piece: Piece, steps: Sequence[Step], left: Times) -> tuple[int, int, int]:
    """Days of work for what is left, with its drying, for the low, likely and high minutes."""
    planned = sum(step.minutes for step in steps)
    day = {**usual_minutes(), **piece.draft.minutes}["day"]
    if not planned:
        return (0, 0, 0)
    low, likely, high = (
        len(days_of([step._replace(minutes=step.minutes * end / planned) for step in steps], day))
        for end in (left.low, left.likely, left.high)
    )
    return low, likely, high

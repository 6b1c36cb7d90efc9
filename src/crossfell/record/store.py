"""How is what happened kept, so that nothing that was said to be saved is ever lost?

One SQLite file beside the draft, write-ahead log, every commit forced to the disk before it is
acknowledged. Several screens and programs may have it open at once.
"""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
import threading
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from types import MappingProxyType
from typing import Self

from crossfell.draft.model import Draft
from crossfell.record.clock import Stamp
from crossfell.record.events import Event, StepMark
from crossfell.record.opening import NotSaved, RecordRefused, looked_at, named, opened

SUFFIX = ".record"
_COLUMNS = "id, kind, utc_ms, offset_min, boot, run_ms, device, draft, step, says"


def record_path(draft_file: Path) -> Path:
    """Where the record of a draft lies: beside it."""
    return draft_file.with_suffix(SUFFIX)


def draft_hash(draft: Draft) -> str:
    """A short name for exactly this text of draft and workshop."""
    both = f"{draft.text}\0{draft.workshop_text}".encode()
    return hashlib.sha256(both).hexdigest()[:16]


class Record:
    """An open record."""

    def __init__(self, path: Path) -> None:
        """Open it, or make an empty one. Errors: RecordRefused, NotSaved."""
        self.path = path
        self._link = opened(path)
        self._lock = threading.Lock()

    def add(
        self,
        events: Sequence[Event],
        drafts: Mapping[str, tuple[str, str]] = MappingProxyType({}),
        *,
        seen_ms: int = 0,
    ) -> tuple[bool, ...]:
        """Write events, all or none; for each whether it was new. Errors: NotSaved.

        `drafts` are texts that they were worked from, by hash. When this returns, all is on the
        disk.
        """
        rows = [_row(event) for event in events]
        with self._lock:
            try:
                self._link.execute("BEGIN IMMEDIATE")
                self._link.executemany(
                    "INSERT OR IGNORE INTO draft VALUES (?, ?, ?, ?)",
                    [(name, *texts, seen_ms) for name, texts in drafts.items()],
                )
                new = tuple(self._add(row) for row in rows)
                self._link.execute("COMMIT")
            except sqlite3.Error as problem:
                self._give_up()
                raise NotSaved(f"not saved in {self.path}: {problem}") from problem
        return new

    def remember_draft(self, draft: Draft, at: Stamp) -> str:
        """Keep this text of the draft, once; its hash. Errors: NotSaved."""
        name = draft_hash(draft)
        self.add((), {name: (draft.text, draft.workshop_text)}, seen_ms=at.utc_ms)
        return name

    def events(self, after: int = 0) -> tuple[Event, ...]:
        """All events in the order in which they were saved, but the first `after`."""
        with self._lock:
            return events_in(self._link, after)

    def count(self) -> int:
        """How many events there are."""
        with self._lock:
            return int(self._link.execute("SELECT count(*) FROM event").fetchone()[0])

    def drafts(self) -> dict[str, tuple[str, str]]:
        """Every text of the draft that was worked from: hash to draft and workshop."""
        with self._lock:
            return drafts_in(self._link)

    def backup(self, to: Path) -> None:
        """Copy the record as it is now, safe while others write. Errors: NotSaved."""
        if to.exists():
            raise NotSaved(f"{to} is already there; nothing was written")
        part = to.with_name(f".{to.name}.part")
        try:
            with self._lock:
                copy = sqlite3.connect(part)
                try:
                    self._link.backup(copy)
                    copy.execute("PRAGMA journal_mode = DELETE")
                finally:
                    copy.close()
            with part.open("rb") as file:
                os.fsync(file.fileno())
            named(part, to)
        except (OSError, sqlite3.Error) as problem:
            raise NotSaved(f"{to} could not be written: {problem}") from problem
        finally:
            part.unlink(missing_ok=True)

    def close(self) -> None:
        """Close it."""
        with self._lock:
            self._link.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _add(self, row: tuple[object, ...]) -> bool:
        marks = ", ".join("?" * 10)
        done = self._link.execute(
            f"INSERT INTO event ({_COLUMNS}) VALUES ({marks}) "  # noqa: S608 - our own columns
            "ON CONFLICT (id) DO NOTHING",
            row,
        )
        return done.rowcount == 1

    def _give_up(self) -> None:
        if self._link.in_transaction:
            self._link.execute("ROLLBACK")


def read_record(path: Path) -> tuple[tuple[Event, ...], dict[str, tuple[str, str]]]:
    """Read a record without ever writing to it: events, and drafts. Errors: RecordRefused."""
    link = looked_at(path)
    try:
        return events_in(link), drafts_in(link)
    except sqlite3.DatabaseError as problem:
        raise RecordRefused(f"{path} cannot be read as a record: {problem}") from problem
    finally:
        link.close()


def events_in(link: sqlite3.Connection, after: int = 0) -> tuple[Event, ...]:
    """Events of an open database, in the order in which they were saved."""
    rows = link.execute(
        f"SELECT {_COLUMNS} FROM event ORDER BY number LIMIT -1 OFFSET ?",  # noqa: S608
        (after,),
    )
    return tuple(_event(row) for row in rows)


def drafts_in(link: sqlite3.Connection) -> dict[str, tuple[str, str]]:
    """Drafts of an open database, in the order in which they were first seen."""
    rows: Iterable[tuple[str, str, str]] = link.execute(
        "SELECT hash, text, workshop FROM draft ORDER BY seen_ms, rowid"
    )
    return {name: (text, workshop) for name, text, workshop in rows}


def _row(event: Event) -> tuple[object, ...]:
    at = event.at
    step = None if event.step is None else json.dumps(asdict(event.step), ensure_ascii=False)
    says = json.dumps(dict(event.says), ensure_ascii=False, allow_nan=False)
    return (
        *(event.id, event.kind, at.utc_ms, at.offset_min, at.boot, at.run_ms),
        *(event.device, event.draft, step, says),
    )


def _event(row: Sequence[str | int | None]) -> Event:
    name, kind, utc_ms, offset_min, boot, run_ms, device, draft, step, says = row
    return Event(
        id=str(name),
        kind=str(kind),
        at=Stamp(
            utc_ms=int(utc_ms or 0),
            offset_min=int(offset_min or 0),
            boot=str(boot),
            run_ms=int(run_ms or 0),
        ),
        device=str(device),
        draft=str(draft),
        step=None if step is None else StepMark(**json.loads(str(step))),
        says=MappingProxyType(json.loads(str(says))),
    )

"""What was every draft of a folder after each edit, and which versions did she name?

One SQLite file in a hidden folder beside the drafts. An edit is in the journal, on the disk,
before it is acknowledged. Each state knows the state that it was made on: undo goes
there, redo comes back. What was undone and then worked over stays in the journal and can be
brought back from the list of what was done: nothing is ever lost.
"""

from __future__ import annotations

import sqlite3
import threading
import zlib
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

Row = tuple[Any, ...]
HIDDEN = ".crossfell"
QUICKLY = 1  # an edit waits for it; a text is small anyway
_TABLES = """
create table if not exists states (
  revision integer primary key autoincrement, piece text not null, text blob not null,
  what text not null, made text not null, before integer);
create index if not exists states_of on states (piece, revision);
create table if not exists pieces (
  piece text primary key, revision integer not null, redo text not null default '');
create table if not exists versions (
  number integer primary key autoincrement, piece text not null, name text not null,
  revision integer not null, made text not null);
create table if not exists shelf (
  piece text primary key, state text not null default '', archived integer not null default 0);
create table if not exists summaries (digest text primary key, summary text not null);
"""


@dataclass(frozen=True, slots=True)
class State:
    """One state of one draft."""

    revision: int
    piece: str
    text: str
    what: str  # the edit that led here, in words
    made: str  # when, ISO 8601, UTC
    before: int | None  # the state that the edit was made on


@dataclass(frozen=True, slots=True)
class Version:
    """A state that she gave a name."""

    number: int
    name: str
    revision: int
    made: str


class Journal:
    """The journal of a folder of drafts."""

    def __init__(self, folder: Path) -> None:
        hidden = folder / HIDDEN
        hidden.mkdir(exist_ok=True)
        self._lock = threading.RLock()
        self._db = sqlite3.connect(
            hidden / "journal.db", isolation_level=None, check_same_thread=False, timeout=10
        )
        self._db.execute("pragma journal_mode=wal")
        self._db.execute("pragma synchronous=full")
        self._db.executescript(_TABLES)

    def close(self) -> None:
        """Close the file."""
        with self._lock:
            self._db.close()

    def current(self, piece: str) -> State | None:
        """Where a draft stands; None when nothing was written down yet."""
        row = self._one("select revision from pieces where piece=?", piece)
        return self.state(piece, row[0]) if row else None

    def state(self, piece: str, revision: int) -> State | None:
        """A state by its number, if it belongs to this draft."""
        row = self._one(
            "select revision, piece, text, what, made, before from states "
            "where revision=? and piece=?",
            revision,
            piece,
        )
        if row is None:
            return None
        return State(row[0], row[1], zlib.decompress(row[2]).decode(), row[3], row[4], row[5])

    def add(self, piece: str, text: str, what: str) -> State:
        """Write down a new state after the current one; it becomes the current one."""
        now = _now()
        with self._lock:
            self._db.execute("begin immediate")
            try:
                row = self._one("select revision from pieces where piece=?", piece)
                before = row[0] if row else None
                made = self._db.execute(
                    "insert into states (piece, text, what, made, before) values (?,?,?,?,?)",
                    (piece, zlib.compress(text.encode(), QUICKLY), what, now, before),
                )
                revision = int(made.lastrowid or 0)
                self._db.execute(
                    "insert into pieces (piece, revision, redo) values (?,?,'') on conflict (piece)"
                    " do update set revision=excluded.revision, redo=''",
                    (piece, revision),
                )
            except BaseException:
                self._db.execute("rollback")
                raise
            self._db.execute("commit")
        return State(revision, piece, text, what, now, before)

    def back(self, piece: str) -> State | None:
        """The state that undo leads to."""
        now = self.current(piece)
        return self.state(piece, now.before) if now and now.before else None

    def forth(self, piece: str) -> State | None:
        """The state that redo leads to."""
        undone = self._undone(piece)
        return self.state(piece, undone[-1]) if undone else None

    def go_back(self, piece: str) -> None:
        """Undo."""
        now, target = self.current(piece), self.back(piece)
        if now and target:
            undone = [*self._undone(piece), now.revision]
            self._go(piece, target.revision, undone)

    def go_forth(self, piece: str) -> None:
        """Redo."""
        target = self.forth(piece)
        if target:
            self._go(piece, target.revision, self._undone(piece)[:-1])

    def name_version(self, piece: str, name: str, revision: int) -> None:
        """Give a state a name."""
        self._write(
            "insert into versions (piece, name, revision, made) values (?,?,?,?)",
            piece,
            name,
            revision,
            _now(),
        )

    def versions(self, piece: str) -> list[Version]:
        """The named versions, the newest first."""
        rows = self._all(
            "select number, name, revision, made from versions where piece=? order by number desc",
            piece,
        )
        return [Version(*row) for row in rows]

    def recent(self, piece: str, most: int = 50) -> list[tuple[int, str, str]]:
        """Revision, what was done, when: the newest first."""
        rows = self._all(
            "select revision, what, made from states where piece=? order by revision desc limit ?",
            piece,
            most,
        )
        return [(int(a), str(b), str(c)) for a, b, c in rows]

    def shelf(self, piece: str) -> tuple[str, bool]:
        """Where she says that a piece stands (nothing: by itself), and whether it is archived."""
        row = self._one("select state, archived from shelf where piece=?", piece)
        return (str(row[0]), bool(row[1])) if row else ("", False)

    def put(self, piece: str, *, state: str | None = None, archived: bool | None = None) -> None:
        """Change where a piece stands."""
        old_state, old_archived = self.shelf(piece)
        self._write(
            "insert or replace into shelf (piece, state, archived) values (?,?,?)",
            piece,
            old_state if state is None else state,
            int(old_archived if archived is None else archived),
        )

    def renamed(self, old: str, new: str) -> None:
        """A draft's file has another name: everything goes with it."""
        for table in ("states", "pieces", "versions", "shelf"):
            self._write(f"update or replace {table} set piece=? where piece=?", new, old)  # noqa: S608 -- names above

    def summary(self, digest: str) -> str | None:
        """What was worked out for a text, by its digest."""
        row = self._one("select summary from summaries where digest=?", digest)
        return str(row[0]) if row else None

    def keep_summary(self, digest: str, summary: str) -> None:
        """Keep what was worked out for a text."""
        self._write("insert or replace into summaries values (?,?)", digest, summary)

    def _undone(self, piece: str) -> list[int]:
        row = self._one("select redo from pieces where piece=?", piece)
        return [int(part) for part in row[0].split()] if row else []

    def _go(self, piece: str, revision: int, undone: list[int]) -> None:
        redo = " ".join(map(str, undone))
        self._write("update pieces set revision=?, redo=? where piece=?", revision, redo, piece)

    def _one(self, sql: str, *values: object) -> Row | None:
        with self._lock:
            row: Row | None = self._db.execute(sql, values).fetchone()
        return row

    def _all(self, sql: str, *values: object) -> list[Row]:
        with self._lock:
            return self._db.execute(sql, values).fetchall()

    def _write(self, sql: str, *values: object) -> None:
        with self._lock:
            self._db.execute(sql, values)


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")

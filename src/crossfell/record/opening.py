"""Is this file a record of ours, whole, and not newer than this program?

The first hundred bytes are read before SQLite touches the file, and a file that is refused is
never written to. A new record is made beside its place and put there whole.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
import tempfile
from importlib.resources import files
from pathlib import Path

VERSION = 1
OURS = 0x43726F73  # "Cros", SQLite's application id
_MAGIC = b"SQLite format 3\x00"
BUSY_S = 10.0


class RecordRefused(Exception):  # noqa: N818 - it is a sentence for the maker
    """The file cannot be used as a record; it is as it was."""


class NotSaved(Exception):  # noqa: N818 - it is a sentence for the maker
    """What happened could not be written; nothing of it counts as done."""


def opened(path: Path) -> sqlite3.Connection:
    """Open the record at `path`, or make an empty one. Errors: RecordRefused, NotSaved."""
    path = path.resolve()
    try:
        if not path.exists():
            _make(path)
        _look(path)
        return _connected(path)
    except sqlite3.DatabaseError as problem:
        if _is_about_room(problem):
            raise NotSaved(f"{path} could not be written: {problem}") from problem
        raise RecordRefused(_damaged(path, str(problem))) from problem
    except OSError as problem:
        says = problem.strerror or str(problem)
        raise NotSaved(f"{path} could not be opened: {says}") from problem


def looked_at(path: Path) -> sqlite3.Connection:
    """Open an existing record for reading only. Errors: RecordRefused."""
    if not path.exists():
        raise RecordRefused(f"{path} is not there")
    try:
        _look(path)
        link = sqlite3.connect(f"{path.resolve().as_uri()}?{_how(path)}", uri=True, timeout=BUSY_S)
        _check_whole(link, path)
    except (OSError, sqlite3.DatabaseError) as problem:
        raise RecordRefused(_damaged(path, str(problem))) from problem
    return link


def _how(path: Path) -> str:
    """In a folder that cannot be written, a record that nobody has open is read as it lies."""
    is_open = path.with_name(f"{path.name}-wal").exists()
    can_write = os.access(path.resolve().parent, os.W_OK)
    return "mode=ro" if is_open or can_write else "mode=ro&immutable=1"


def _look(path: Path) -> None:
    """Refuse what is not ours, by its first bytes alone. Source: SQLite file format, 1.3."""
    with path.open("rb") as file:
        head = file.read(100)
    if len(head) < 100 or not head.startswith(_MAGIC):
        raise RecordRefused(_damaged(path, "it does not begin as a record does"))
    version = int.from_bytes(head[60:64], "big")
    if int.from_bytes(head[68:72], "big") != OURS:
        raise RecordRefused(
            f"{path} is a database, but not a record of Crossfell; it was left as it is"
        )
    if version > VERSION:
        raise RecordRefused(
            f"{path} was written by a newer Crossfell (record version {version}, this program "
            f"knows {VERSION}); it was left as it is. Use the newer program."
        )


def _connected(path: Path) -> sqlite3.Connection:
    watcher = looked_at(path)
    watcher.close()
    link = sqlite3.connect(path, timeout=BUSY_S, isolation_level=None, check_same_thread=False)
    link.execute("PRAGMA journal_mode = WAL")
    link.execute("PRAGMA synchronous = FULL")
    return link


def _check_whole(link: sqlite3.Connection, path: Path) -> None:
    found = [row[0] for row in link.execute("PRAGMA quick_check(3)")]
    if found != ["ok"]:
        link.close()
        raise RecordRefused(_damaged(path, str(found[0]).replace("\n", "; ")))


def _make(path: Path) -> None:
    """Make an empty record beside its place, then give it its name if nobody else did."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    os.close(handle)
    made = Path(name)
    try:
        link = sqlite3.connect(made, isolation_level=None)
        try:
            link.execute("PRAGMA synchronous = FULL")
            link.execute(f"PRAGMA application_id = {OURS}")
            link.execute(f"PRAGMA user_version = {VERSION}")
            link.executescript((files("crossfell.record") / "schema.sql").read_text("utf-8"))
        finally:
            link.close()
        made.chmod(0o666 & ~_umask())
        with contextlib.suppress(FileExistsError):
            named(made, path)
        _settle(path.parent)
    finally:
        made.unlink()


def named(made: Path, path: Path) -> None:
    """Give a finished file its name. Errors: FileExistsError when another has it already."""
    try:
        os.link(made, path)
    except FileExistsError:
        raise
    except OSError:  # some file systems know no second name for a file
        with path.open("xb") as out:
            out.write(made.read_bytes())
            out.flush()
            os.fsync(out.fileno())


def _umask() -> int:
    mask = os.umask(0o022)
    os.umask(mask)
    return mask


def _settle(folder: Path) -> None:
    """Make the name in the folder last through a loss of power."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _is_about_room(problem: sqlite3.DatabaseError) -> bool:
    code = getattr(problem, "sqlite_errorcode", 0) & 0xFF
    return code in {
        sqlite3.SQLITE_FULL,
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_IOERR,
        sqlite3.SQLITE_BUSY,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_PERM,
    }


def _damaged(path: Path, why: str) -> str:
    return (
        f"{path} cannot be read as a record: {why}. It was left as it is: keep it, put a backup "
        "in its place, or move it away to begin a new record."
    )

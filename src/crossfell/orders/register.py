"""Which number does a quotation or an invoice get, so that none is missing and none given twice?

The register is one SQLite file beside workshop.toml. A number is given in one transaction: two
windows that ask at once get two numbers. Each kind counts by itself, from 1 in each year.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

REGISTER = "papers.register"
_TABLE = """CREATE TABLE IF NOT EXISTS given (
    kind TEXT NOT NULL, year INTEGER NOT NULL, number INTEGER NOT NULL, piece TEXT NOT NULL,
    day TEXT NOT NULL, total INTEGER NOT NULL, currency TEXT NOT NULL,
    PRIMARY KEY (kind, year, number), UNIQUE (kind, piece))"""


class NotRegistered(ValueError):  # noqa: N818 - it is a sentence for the maker
    """No number can be given; the sentence says why."""


@dataclass(frozen=True, kw_only=True)
class Given:
    """A paper that was given out, or would be."""

    kind: str  # "quotation" or "invoice"
    year: int
    count: int
    piece: str
    day: str
    total: int  # coins
    currency: str
    before: bool = False  # it has its number already

    @property
    def number(self) -> str:
        """As it is printed: 2031-007."""
        return f"{self.year}-{self.count:03}"


def given(
    register: Path, *, kind: str, piece: str, day: str, total: int, currency: str, write: bool
) -> Given:
    """The number of a paper: the one that it has, or the next, which `write` gives out.

    Errors: NotRegistered for a day before the last number of its kind, or another total than the
    number was given for; OSError.
    """
    if not register.exists() and not write:
        return Given(kind=kind, year=int(day[:4]), count=1, piece=piece, day=day, total=total,
                     currency=currency)  # fmt: skip
    try:
        with closing(sqlite3.connect(register, isolation_level=None, timeout=10)) as link:
            link.execute("BEGIN IMMEDIATE")
            link.execute(_TABLE)
            found = _found(link, kind, piece) or _next(link, kind, piece, day, total, currency)
            if found.before and (found.total, found.currency) != (total, currency):
                raise NotRegistered(
                    f"{kind} {found.number} was given for another price on {found.day}: what was "
                    "given stays; set `agreed` of [piece] to that price, or copy the draft"
                )
            if write and not found.before:
                row = (kind, found.year, found.count, piece, day, total, currency)
                link.execute("INSERT INTO given VALUES (?, ?, ?, ?, ?, ?, ?)", row)
            link.execute("COMMIT" if write else "ROLLBACK")
            return found
    except sqlite3.DatabaseError as problem:
        raise NotRegistered(f"{register} cannot be used as a register: {problem}") from problem


def _found(link: sqlite3.Connection, kind: str, piece: str) -> Given | None:
    row = link.execute(
        "SELECT year, number, day, total, currency FROM given WHERE kind = ? AND piece = ?",
        (kind, piece),
    ).fetchone()
    if row is None:
        return None
    year, count, day, total, currency = row
    return Given(kind=kind, year=year, count=count, piece=piece, day=day, total=total,
                 currency=currency, before=True)  # fmt: skip


def _next(
    link: sqlite3.Connection, kind: str, piece: str, day: str, total: int, currency: str
) -> Given:
    last, latest = link.execute(
        "SELECT max(number), max(day) FROM given WHERE kind = ? AND year = ?", (kind, int(day[:4]))
    ).fetchone()
    after = link.execute("SELECT max(day) FROM given WHERE kind = ?", (kind,)).fetchone()[0]
    if after is not None and day < after:
        raise NotRegistered(
            f"the last {kind} is of {latest or after}: numbers follow the days, so none is given "
            f"for {day}"
        )
    return Given(kind=kind, year=int(day[:4]), count=(last or 0) + 1, piece=piece, day=day,
                 total=total, currency=currency)  # fmt: skip

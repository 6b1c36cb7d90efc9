"""How does a list become CSV that any spreadsheet reads, and none takes for a formula?

Source: RFC 4180, in UTF-8 with the mark that spreadsheets look for.
Checked: tests/outside/test_booklet.py.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

from crossfell.papers.model import Sheet, Table

_NUMBER = re.compile(r"[-+]?[\d\u202f.,]+( .*)?")


def lists_of(sheets: Sequence[Sheet]) -> list[tuple[str, bytes]]:
    """Tables of the sheets as CSV; tables of a sheet with the same columns are one list.

    A sheet with one list gives it its name; with several, each has its first table's name too.
    """
    out = []
    for sheet in sheets:
        alike: dict[tuple[str, ...], list[Table]] = {}
        for block in sheet.blocks:
            if isinstance(block, Table):
                alike.setdefault(block.columns, []).append(block)
        for columns, tables in alike.items():
            name = sheet.name if len(alike) == 1 else f"{sheet.name}-{tables[0].name}"
            rows = ([table.name, *row] for table in tables for row in table.rows)
            out.append((name, csv_of(["list", *columns], rows)))
    return out


def csv_of(head: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """A head and rows as CSV."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(head)
    writer.writerows([inert(cell) for cell in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def inert(cell: str) -> str:
    """A cell that a spreadsheet cannot take for a formula; numbers stay numbers."""
    cell = cell.strip()
    if cell[:1] in {"=", "@"} or (cell[:1] in {"+", "-"} and not _NUMBER.fullmatch(cell)):
        return f"'{cell}"
    return cell

"""How does a list become CSV that any spreadsheet reads, and none takes for a formula?

A column of amounts in one unit has the unit in its head and bare numbers below, with a point and
without thousands; what is not known is empty. Text stays text.

Source: RFC 4180, in UTF-8 with the mark that spreadsheets look for.
Checked: tests/outside/test_lists.py (Python's csv, pandas).
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from fractions import Fraction

from crossfell.papers.model import Sheet, Table

UNITS = "mm|cm|m|in|ft|yd|g|kg|lb|oz|N|N an end|lbf|h|min|cm³|%|in 1000|[A-Z]{3}"  # or a currency
_AMOUNT = re.compile(
    r"(?P<sign>[-+]?)(?:(?P<number>\d[\d\u202f]*(?:\.\d+)?)(?: (?P<part>\d+/\d+))?"
    rf"|(?P<alone>\d+/\d+))(?: (?P<unit>{UNITS}))?(?: \([\d.]+ \w+\))?"
)
_FORMULA = re.compile("[=+\\-@＝＋－＠]")  # how a formula may begin, also in full width
UNKNOWN = frozenset({"", "open"})


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
            rows = [[table.name, *row] for table in tables for row in table.rows]
            out.append((name, csv_of(["list", *columns], rows)))
    return out


def csv_of(head: Sequence[str], rows: Iterable[Sequence[str]]) -> bytes:
    """A head and rows as CSV. Heads are told apart, and every row is as long as the head."""
    rows = list(rows)
    columns = zip(*rows, strict=True) if rows else [() for _ in head]
    made = [_column(name, cells) for name, cells in zip(head, columns, strict=True)]
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow([name for name, _ in made])
    writer.writerows(zip(*(cells for _, cells in made), strict=True))
    return text.getvalue().encode("utf-8-sig")


def _column(head: str, cells: Sequence[str]) -> tuple[str, list[str]]:
    """A column as it is written: amounts of one unit as numbers, all else as inert text."""
    known = [_AMOUNT.fullmatch(cell) for cell in cells if cell.strip() not in UNKNOWN]
    units = {amount["unit"] if amount else False for amount in known}
    if len(units) != 1 or False in units:
        return head, [inert(cell) for cell in cells]
    unit = units.pop()
    return f"{head}, {unit}" if unit else head, [_number(cell) for cell in cells]


def _number(cell: str) -> str:
    amount = _AMOUNT.fullmatch(cell)
    if amount is None:
        return ""
    sign, whole = amount["sign"], (amount["number"] or "0").replace("\u202f", "")
    part = amount["part"] or amount["alone"]
    return sign + (str(float(Fraction(whole) + Fraction(part))) if part else whole)


def inert(cell: str) -> str:
    """A cell that a spreadsheet cannot take for a formula; an amount stays as it is."""
    cell = cell.strip()
    if _FORMULA.match(cell) and not _AMOUNT.fullmatch(cell):
        return f"'{cell}"
    return cell

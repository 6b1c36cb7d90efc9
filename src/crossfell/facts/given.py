"""Which keys of a table were put in, her own or defaults, and on which lines do they stand?"""

from __future__ import annotations

from crossfell.base.notes import Where
from crossfell.draft.keys import key_name
from crossfell.draft.model import Table

Values = list[tuple[str, str]]
Lines = list[Where]
Given = tuple[Values, Lines]


def of(table: Table | None, *fields: str) -> Given:
    """Keys of one table: what was put in, and whether it is her own value or a default."""
    if table is None:
        return [], []
    values, lines = [], []
    for name in fields:
        own = name in table.given
        shown = getattr(table, name)
        shown = f"{shown:g}" if isinstance(shown, float) else str(shown)
        values.append((key_name(name), shown if own else f"{shown} (default)"))
        if own:
            lines.append(table.given[name])
    return values, lines


def join(*parts: Given) -> Given:
    """All values, all lines."""
    return [value for values, _ in parts for value in values], [
        line for _, lines in parts for line in lines
    ]

"""Which keys of a table were put in, her own or defaults, and on which lines do they stand?"""

from __future__ import annotations

import dataclasses
import math
from typing import Any

from crossfell.base.notes import Where
from crossfell.draft.keys import key_name
from crossfell.draft.model import Rod, Table

Values = list[tuple[str, str]]
Lines = list[Where]
Given = tuple[Values, Lines]


def of(table: Table | None, *fields: str) -> Given:
    """Keys of one table: what was put in, and whether it is her own value or a default."""
    if table is None:
        return [], []
    declared = {field.name: field for field in dataclasses.fields(table)}
    values, lines = [], []
    for name in fields:
        own = name in table.given
        value = getattr(table, name)
        shown = _shown(value, declared[name])
        unsaid = value is None or value == ()
        values.append((key_name(name), shown if own or unsaid else f"{shown} (default)"))
        if own:
            lines.append(table.given[name])
    return values, lines


def _shown(value: object, field: dataclasses.Field[Any]) -> str:
    """A value in its unit, as she would write it."""
    if value is None or value == ():
        return "nothing said"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Rod):
        return f"{value.label} mm"
    kind = field.metadata.get("kind", "")
    if isinstance(value, tuple) and kind == "weights":
        return ", ".join(f"{mass:g} g * {count}" for mass, count in value)
    if isinstance(value, tuple):
        return ", ".join(_shown(item, field) for item in value)
    if not isinstance(value, (int, float)):
        return str(value)
    if kind == "percent":
        return f"{100 * value:.6g} %"
    unit = next((unit for end, unit in _UNITS.items() if field.name.endswith(end)), "")
    unit = "mm" if kind.startswith("lengths") else unit
    return f"{math.degrees(value) if unit == '°' else value:.6g} {unit}".strip().replace(" °", "°")


_UNITS = {
    "_n_per_tex": "N/tex", "_n_per_mm": "N/mm", "_mm": "mm", "_cm3": "cm³", "_n": "N", "_g": "g",
    "_rad": "°", "_min": "min",
}  # fmt: skip


def join(*parts: Given) -> Given:
    """All values, all lines."""
    return [value for values, _ in parts for value in values], [
        line for _, lines in parts for line in lines
    ]

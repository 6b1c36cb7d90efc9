"""Which keys can be set in tables, what do they mean, and where does each value come from?

Yarns, strips, units, the warp, bands, loom, adhesive, stock and rates are shown as tables made
from the declarations of the draft's keys: one row for each key, with its meaning, the value as it
is written, and whether the draft says it, the workshop, or nobody (then the default stands).
"""

from __future__ import annotations

import dataclasses
import math
import tomllib
from collections.abc import Iterator
from typing import Any

from crossfell.draft import edit
from crossfell.draft.keys import choices_of, key_name
from crossfell.draft.model import (
    About,
    Adhesive,
    Band,
    Draft,
    Hang,
    Loom,
    Rates,
    Stock,
    Strip,
    UnitKind,
    Warp,
    Yarn,
)
from crossfell.draft.script import NotEditable, Script, as_key, as_toml, opened
from crossfell.draft.shared import SHARED
from crossfell.draft.whereabouts import Way
from crossfell.studio.folder import Refused

Told = dict[str, Any]
ONE = {
    "piece": About, "warp": Warp, "band": Band, "hang": Hang, "loom": Loom, "adhesive": Adhesive,
    "stock": Stock, "rates": Rates,
}  # fmt: skip
MANY = {"yarn": Yarn, "strip": Strip, "unit": UnitKind}


def tables_of(draft: Draft) -> list[Told]:
    """Every table of a draft, with its rows. Errors: NotEditable when the text cannot be read."""
    sources = [("draft", opened(draft.text))]
    if draft.workshop_text:
        sources.append(("workshop", opened(draft.workshop_text)))
    tables = [_table(sources, (family,), kind) for family, kind in ONE.items()]
    for family, kind in MANY.items():
        names = dict.fromkeys(
            name for _, script in sources for name in _names(script.at((family,)))
        )
        tables += [_table(sources, (family, name), kind) for name in names]
    order = ["piece", "yarn", "strip", "unit", "warp", "band"]
    return sorted(tables, key=lambda t: order.index(t["family"]) if t["family"] in order else 9)


def written_change(text: str, path: str, value: str) -> str:
    """Set a key to what she wrote: a number, yes or no, a list, or else a text; nothing unsets it.

    Errors: NotEditable, Refused.
    """
    value = value.strip()
    if not value:
        return edit.unset_key(text, path)
    return edit.set_key(text, path, read_value(value))


def read_value(value: str) -> object:
    """What a value means that was written without its quotes."""
    try:
        found: object = tomllib.loads(f"x = {value}")["x"]
    except (tomllib.TOMLDecodeError, RecursionError):
        found = value
    if isinstance(found, float) and not math.isfinite(found):
        raise Refused("this is not a number")
    return found if isinstance(found, (bool, int, float, str, list, dict)) else value


def _names(table: object) -> list[str]:
    return list(table) if isinstance(table, dict) else []


def _table(sources: list[tuple[str, Script]], way: Way, kind: type) -> Told:
    rows = [_row(sources, way, field) for field in _keys(kind)]
    return {
        "family": way[0],
        "shared": way[0] in SHARED,
        "name": str(way[1]) if len(way) > 1 else "",
        "rows": [row for row in rows if row is not None],
    }


def _keys(kind: type) -> Iterator[dataclasses.Field[Any]]:
    for field in dataclasses.fields(kind):
        if "says" in field.metadata:
            yield field


def _row(sources: list[tuple[str, Script]], way: Way, field: dataclasses.Field[Any]) -> Told | None:
    name = key_name(field.name)
    told = {
        "path": ".".join(as_key(str(part)) for part in (*way, name)),
        "key": name,
        "says": field.metadata["says"],
        "kind": field.metadata["kind"],
        "choices": choices_of(field.metadata["kind"]),
        "default": _default(field),
        "value": "",
        "from": "default",
        "draft": "",
        "workshop": "",
    }
    for source, script in reversed(sources):
        found = script.at((*way, name))
        if found is not None:
            told |= {source: _shown(found), "value": _shown(found), "from": source}
    return told


def _shown(value: object) -> str:
    """A value as she would write it: a text without its quotes where nothing is lost by it."""
    if isinstance(value, str) and value and read_value(value) == value:
        return value
    try:
        return as_toml(value)
    except NotEditable:
        return ""


def _default(field: dataclasses.Field[Any]) -> str:
    """The default in its unit, for reading."""
    value = field.default
    if value is dataclasses.MISSING or value is None or value in ((), ""):
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if not isinstance(value, (int, float)):
        return value if isinstance(value, str) else ""
    for suffix, unit in _UNITS.items():
        if field.name.endswith(suffix):
            number = math.degrees(value) if suffix == "_rad" else value
            return f"{round(number, 3):g} {unit}"
    if field.metadata["kind"].startswith("percent"):
        return f"{round(100 * value, 3):g} %"
    return f"{value:g}"


_UNITS = {"_n_per_tex": "N/tex", "_n_per_mm": "N/mm", "_mm": "mm", "_cm3": "cm³", "_n": "N",
          "_g": "g", "_rad": "°", "_min": "min"}  # fmt: skip

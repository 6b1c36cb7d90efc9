"""Which tables and keys does a draft have?

One list, in the order of the reference page: the reader's guesses, docs/draft.md and the tests
lean on it.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import NamedTuple

from crossfell.draft.keys import REQUIRED, key_name
from crossfell.draft.model import (
    About,
    Adhesive,
    Band,
    DraftTable,
    Hang,
    Letterhead,
    Loom,
    Rates,
    Repeat,
    Span,
    Stock,
    Strip,
    UnitKind,
    Wall,
    Warp,
    Week,
    Woven,
    Yarn,
)


class Entry(NamedTuple):
    """A table of the draft as it is headed, and the record that declares its keys."""

    heading: str
    record: type[DraftTable]


class Key(NamedTuple):
    """A key as it stands in the text."""

    name: str
    kind: str
    says: str
    default: object  # `REQUIRED` when it must be there
    source: str


TOP = (
    "measure", "piece", "yarn", "strip", "unit", "warp", "band", "hang", "span", "repeat",
    "figure", "woven", "loom", "adhesive", "stock", "rates", "week", "letterhead", "minutes",
)  # fmt: skip
FAMILIES = ("yarn", "strip", "unit", "figure")  # tables of tables: [yarn.NAME]
TABLES = (
    Entry("[piece]", About),
    Entry("wall = { … } in [piece]", Wall),
    Entry("[yarn.NAME]", Yarn),
    Entry("[strip.NAME]", Strip),
    Entry("[unit.NAME]", UnitKind),
    Entry("[warp]", Warp),
    Entry("[band]", Band),
    Entry("[hang]", Hang),
    Entry("[[span]]", Span),
    Entry("[[repeat]]", Repeat),
    Entry("[woven]", Woven),
    Entry("[loom]", Loom),
    Entry("[adhesive]", Adhesive),
    Entry("[stock]", Stock),
    Entry("[rates]", Rates),
    Entry("[week]", Week),
    Entry("[letterhead]", Letterhead),
)
LISTED = {  # keys that no record declares, because they are read in their own way
    "the top, before any [table]": ("measure",),
    "[[span]]": ("moves", "woven", "band"),
    "[figure.NAME]": ("places", "spans"),
}


def keys_of(record: type[DraftTable]) -> Iterator[Key]:
    """Keys that a record declares, in its order."""
    for item in dataclasses.fields(record):
        if "kind" in item.metadata:
            default = REQUIRED if item.default is dataclasses.MISSING else item.default
            kind, says = item.metadata["kind"], item.metadata["says"]
            yield Key(key_name(item.name), kind, says, default, item.metadata["source"])


def homes_of(name: str) -> list[str]:
    """Headings of the tables that have a key of this name."""
    homes = [heading for heading, names in LISTED.items() if name in names]
    declared = [e.heading for e in TABLES if any(key.name == name for key in keys_of(e.record))]
    return [*homes, *(heading for heading in declared if heading not in homes)]


def example_of(record: type[DraftTable], name: str) -> str:
    """What a key that must be there could say, as it is written."""
    return _EXAMPLES[record, name]


_EXAMPLES: dict[tuple[type[DraftTable], str], str] = {
    (Yarn, "count"): '"lea 16/2"',
    (Strip, "width"): '"1 in"',
    (Strip, "dents"): "18",
    (UnitKind, "strip"): '"inch"',
    (UnitKind, "ends"): '"18 slate"',
    (Warp, "pitch"): "28",
    (Warp, "order"): '"a*6 - b*6"',
    (Span, "height"): "140",
    (Repeat, "spans"): "3",
    (Repeat, "times"): "10",
}

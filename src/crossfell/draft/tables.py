"""How does a table of the text become a record?

One generic reader for every table: it fills a dataclass from the keys that its fields declare,
taking each key from the draft first and from the workshop's file second, and notes what is wrong.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType
from typing import Any, TypeVar

from crossfell.base.nearest import help_for, nearest
from crossfell.base.notes import NOWHERE, Note, Where, error
from crossfell.base.quantities import NotAQuantity
from crossfell.draft.keys import key_name
from crossfell.draft.model import DraftTable, Wall
from crossfell.draft.reference import FAMILIES, TOP, example_of, homes_of
from crossfell.draft.values import value_of
from crossfell.draft.whereabouts import Way, Whereabouts

T = TypeVar("T", bound=DraftTable)


@dataclass(frozen=True, slots=True)
class Source:
    """One text: its values, where they stand, the measure of its bare lengths."""

    data: Mapping[str, Any]
    places: Whereabouts
    measure: str

    def table(self, way: Way) -> Mapping[str, Any] | None:
        """The table at a way, if there is one."""
        here = self.at(way)
        return here if isinstance(here, dict) else None

    def at(self, way: Way) -> Any:
        """The value at a way; None when nothing is there."""
        here: Any = self.data
        for part in way:
            if isinstance(here, dict) and part in here:
                here = here[part]
            elif isinstance(here, list) and isinstance(part, int) and part < len(here):
                here = here[part]
            else:
                return None
        return here


@dataclass
class Reading:
    """A reading in progress: the texts, the draft's first, and the notes so far."""

    sources: Sequence[Source]
    notes: list[Note] = field(default_factory=list)

    @property
    def draft(self) -> Source:
        """The draft itself."""
        return self.sources[0]

    def wrong(self, code: str, where: Where, **facts: object) -> None:
        """Note an error, once for each place."""
        if (code, where) not in self._said:
            self._said.add((code, where))
            self.notes.append(error(code, where, **facts))

    def place(self, *way: str | int) -> Where:
        """Where a value stands: in the draft, or else in the workshop's text."""
        for source in self.sources:
            where = source.places.value(*way)
            if where.line:
                return where
        return Where(self.draft.places.at(0).file)

    def names(self, table: str) -> list[str]:
        """Names of the tables [table.NAME], the draft's own first."""
        found: dict[str, None] = {}
        for source in self.sources:
            for name in source.table((table,)) or ():
                found.setdefault(name)
        return list(found)

    def table_or_none(
        self, cls: type[T], ways: Sequence[Way], also: Iterable[str] = (), **fixed: Any
    ) -> T | None:
        """Fill a record; None when a key that must be there is missing or makes no sense.

        `ways` are tried in turn for each key: a span's own band, then [band.last], then [band].
        `also` are keys of the first table that somebody else reads.
        """
        values: dict[str, Any] = dict(fixed)
        given: dict[str, Where] = {}
        complete = True
        where = self._header(ways)
        fields = declared_by(cls.__mro__[0])
        there = [
            (source, way, table)
            for source in self.sources
            for way in ways
            if (table := source.table(way)) is not None
        ]
        for item in fields:
            name = key_name(item.name)
            found = next((row for row in there if name in row[2]), None)
            if found is None:
                if item.default is dataclasses.MISSING:
                    facts = {"table": _heading(ways[0]), "says": item.metadata["says"]}
                    example = example_of(cls, name)
                    self.wrong("missing-key", where, key=name, example=example, **facts)
                    complete = False
                continue
            source, way, table = found
            place = source.places.value(*way, name)
            given[item.name] = place
            value = self._value(item, table[name], source, (*way, name))
            if value is _WRONG:
                complete = complete and item.default is not dataclasses.MISSING
            else:
                values[item.name] = value
        known = [key_name(item.name) for item in fields]
        self.refuse_unknown(ways, [*known, *also])
        if not complete:
            return None
        return cls(where=where, given=MappingProxyType(given), **values)

    def table(self, cls: type[T], ways: Sequence[Way], also: Iterable[str] = (), **fixed: Any) -> T:
        """Fill a record whose keys all have defaults."""
        record = self.table_or_none(cls, ways, also, **fixed)
        return cls(**fixed) if record is None else record

    def refuse_unknown(self, ways: Sequence[Way], known: Sequence[str]) -> None:
        """Note every key that no field declares (each table is looked at once)."""
        for source in self.sources:
            for way in ways:
                for name in source.table(way) or ():
                    if name not in known and (id(source), way, name) not in self._refused:
                        self._refused.add((id(source), way, name))
                        where = _place_of(source, (*way, name))
                        facts = {"key": name, "table": _heading(way), **_help(name, known)}
                        self.wrong("unknown-key", where, **facts)

    def refuse_values(self) -> None:
        """Note what should be a table and is a value."""
        for source in self.sources:
            for name, value in source.data.items():
                if name in FAMILIES and isinstance(value, Mapping):
                    for inner, table in value.items():
                        self._refuse_value(source, (name, inner), table)
                elif name in TOP and name not in {"measure", "span", "repeat"}:
                    self._refuse_value(source, (name,), value)
            for way in _bands_of(source.data):
                self._refuse_value(source, way, source.at(way))

    def _refuse_value(self, source: Source, way: Way, value: object) -> None:
        if not isinstance(value, Mapping):
            heading = f"[{called(way)}]" if all(isinstance(part, str) for part in way) else "{ … }"
            says = f"this is a table: `{heading}` with its keys"
            self.wrong("not-understood", source.places.value(*way), key=called(way), says=says)

    _refused: set[tuple[int, Way, str]] = field(default_factory=set)
    _said: set[tuple[str, Where]] = field(default_factory=set)

    def _header(self, ways: Sequence[Way]) -> Where:
        for way in ways:
            for source in self.sources:
                where = source.places.key(*way)
                if where is not NOWHERE:
                    return where
        return NOWHERE

    def _value(self, item: Any, raw: Any, source: Source, way: Way) -> Any:
        kind = item.metadata["kind"]
        if kind == "wall":
            if not isinstance(raw, Mapping):
                says = "a wall is written as { width = 1100, height = 2600 }"
                self.wrong("not-understood", source.places.value(*way), key=way[-1], says=says)
                return _WRONG
            return self.table(Wall, [way])
        if kind == "yarn-count":
            fibre = (source.table(way[:-1]) or {}).get("fibre", "")
            kind = f"{kind}:{fibre if isinstance(fibre, str) else ''}"
        try:
            return value_of(kind, raw, source.measure)
        except NotAQuantity as problem:
            where = source.places.value(*way)
            self.wrong("not-understood", where, key=way[-1], says=str(problem))
            return _WRONG


@cache
def declared_by(cls: type) -> tuple[dataclasses.Field[Any], ...]:
    """Fields of a record that are keys of the draft."""
    return tuple(item for item in dataclasses.fields(cls) if "kind" in item.metadata)


def _bands_of(data: Mapping[str, Any]) -> list[Way]:
    """Where the text says something about single bands."""
    bands, spans = data.get("band"), data.get("span")
    ways: list[Way] = []
    if isinstance(bands, Mapping):
        ways += [("band", end) for end in ("first", "last") if end in bands]
    if isinstance(spans, list):
        ways += [
            ("span", k, "band")
            for k, row in enumerate(spans)
            if isinstance(row, Mapping) and "band" in row
        ]
    return ways


def _help(name: str, known: Sequence[str]) -> dict[str, str]:
    """What an unknown key may be: one of these misspelt, or one of another table."""
    homes = " or ".join(homes_of(name)[:3])
    if not homes:
        return help_for(name, sorted(known), "keys here: {names}")
    near = nearest(name, known)
    says = (f"did you mean `{near}`? " if near else "") + f"`{name}` belongs in {homes}".replace(
        "in the top", "at the top"
    )
    return {"help": says, "right": near or ""}


def called(way: Way) -> str:
    """What a table is called in a message; spans are counted from 1."""
    parts = [str(part + 1) if isinstance(part, int) else part for part in way]
    return ".".join(parts) or "the draft"


def _heading(way: Way) -> str:
    """How a table is headed: [warp], span 2, the band of span 2."""
    if way and way[0] == "span" and len(way) > 1 and isinstance(way[1], int):
        return f"the {way[2]} of span {way[1] + 1}" if len(way) > 2 else f"span {way[1] + 1}"
    if way and way[0] == "repeat":
        return "[[repeat]]"
    return f"[{called(way)}]" if way else called(way)


def _place_of(source: Source, way: Way) -> Where:
    """Where a key or a table stands; of a family of tables, the first of them."""
    where = source.places.key(*way)
    value = source.at(way)
    if where is NOWHERE and isinstance(value, Mapping):
        return next((source.places.key(*way, name) for name in value), NOWHERE)
    return where


_WRONG: Any = object()

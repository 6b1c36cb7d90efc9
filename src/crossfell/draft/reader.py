"""What does the text of a draft say?

`read_draft` never raises on any text: what is wrong becomes notes, all of them collected, and the
draft that comes back is as complete as can be.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from types import MappingProxyType
from typing import Any

from crossfell.base.notes import Note, Where, doubt, error
from crossfell.base.quantities import NotAQuantity, read_quantity
from crossfell.draft.expand import Expansion, Figure, Line
from crossfell.draft.model import (
    About,
    Adhesive,
    Band,
    Draft,
    Hang,
    Loom,
    Rates,
    Span,
    Stock,
    Strip,
    Unit,
    UnitKind,
    Warp,
    Yarn,
)
from crossfell.draft.moves import KEYWORDS
from crossfell.draft.tables import Reading, Source
from crossfell.draft.whereabouts import Way, Whereabouts

MOST_LETTERS = 1_000_000
MOST_SPANS = 2_000
MOST_PLACES = 2_000
MEASURES = ("mm", "cm", "in", "m")
TOP = (
    "measure", "piece", "yarn", "strip", "unit", "warp", "band", "hang", "span", "figure",
    "loom", "adhesive", "stock", "rates", "minutes",
)  # fmt: skip
_TOML_AT = re.compile(r"\(at line (\d+), column (\d+)\)")
_TOKEN = re.compile(r"\S+")
_UNITS = re.compile(r"(?P<name>-|[^\W\d][\w']*)(?:\*(?P<count>\d{1,9}))?")
_ENDS = re.compile(r"\s*(?P<count>\d{1,6})\s+(?P<yarn>[\w'-]+)\s*")
_FIGURE_NAME = re.compile(r"[^\W\d][\w'-]*")
_PICKS = re.compile(r"\s*(?:\d{1,4}|rod)\s*")


def read_draft(
    text: str, *, file: str = "", workshop: str | None = None, workshop_file: str = "workshop.toml"
) -> Draft:
    """Read a draft, with the workshop's text behind it. Never raises; see `Draft.notes`."""
    source, notes = _source(text, file)
    sources = [source]
    if workshop is not None:
        behind, more = _source(workshop, workshop_file)
        sources.append(behind)
        notes += more
    if any(note.severity.value == "error" for note in notes):
        return Draft(text=text, file=file, notes=tuple(notes), workshop_text=workshop or "",
                     workshop_file=workshop_file)  # fmt: skip
    reading = Reading(sources, notes)
    return _draft(reading, text, file, workshop or "", workshop_file)


def _source(text: str, file: str) -> tuple[Source, list[Note]]:
    empty = Source({}, Whereabouts("", file), "mm")
    if len(text) > MOST_LETTERS:
        facts = {"letters": len(text), "most": MOST_LETTERS}
        return empty, [error("too-large", Where(file), **facts)]
    try:
        data = tomllib.loads(text.removeprefix("\ufeff").replace("\r\n", "\n"))
    except (tomllib.TOMLDecodeError, RecursionError) as problem:
        return empty, [_not_toml(text, file, str(problem))]
    places = Whereabouts(text, file)
    measure = data.get("measure", "mm")
    if measure not in MEASURES:
        where = places.value("measure")
        says = f"a measure is one of {', '.join(MEASURES)}"
        note = error("not-understood", where, key="measure", says=says)
        return Source(data, places, "mm"), [note]
    return Source(data, places, measure), []


def _not_toml(text: str, file: str, says: str) -> Note:
    found = _TOML_AT.search(says)
    lines = text.splitlines() or [""]
    line, column = (int(found[1]), int(found[2])) if found else (len(lines), len(lines[-1]) + 1)
    says = _TOML_AT.sub("", says).replace("(at end of document)", "at the end").strip()
    return error("not-toml", Where(file, line, column, 1), says=says)


def _draft(reading: Reading, text: str, file: str, workshop: str, workshop_file: str) -> Draft:
    reading.refuse_unknown([()], TOP)
    yarns = {n: y for n in reading.names("yarn") if (y := _yarn(reading, n))}
    strips = {n: s for n in reading.names("strip") if (s := _strip(reading, n))}
    kinds = {n: k for n in reading.names("unit") if (k := _kind(reading, n, yarns, strips))}
    warp = _warp(reading)
    units, places = _units(reading, warp, kinds)
    spans, bands = _spans(reading, places, yarns)
    return Draft(
        text=text,
        file=file,
        measure=reading.draft.measure,
        about=reading.table(About, [("piece",)]),
        yarns=MappingProxyType(yarns),
        strips=MappingProxyType(strips),
        kinds=MappingProxyType(kinds),
        warp=warp,
        units=units,
        place_count=places,
        bands=bands,
        spans=spans,
        hang=reading.table(Hang, [("hang",)]),
        loom=reading.table(Loom, [("loom",)]),
        adhesive=reading.table(Adhesive, [("adhesive",)]),
        stock=reading.table(Stock, [("stock",)]),
        rates=reading.table(Rates, [("rates",)]),
        minutes=_minutes(reading),
        workshop_text=workshop,
        workshop_file=workshop_file,
        notes=tuple(reading.notes),
    )


def _yarn(reading: Reading, name: str) -> Yarn | None:
    return reading.table_or_none(Yarn, [("yarn", name)], name=name)


def _strip(reading: Reading, name: str) -> Strip | None:
    return reading.table_or_none(Strip, [("strip", name)], name=name)


def _kind(
    reading: Reading, name: str, yarns: Mapping[str, Yarn], strips: Mapping[str, Strip]
) -> UnitKind | None:
    way: Way = ("unit", name)
    where = _place(reading, *way)
    if not _UNITS.fullmatch(name) or name in KEYWORDS:
        reading.wrong("not-a-unit-name", where, unit=name)
        return None
    kind = reading.table_or_none(UnitKind, [way], name=name)
    if kind is None:
        return None
    if not _known(reading, "strip", kind.strip, strips, (*way, "strip")):
        return None
    runs = []
    for part in kind.ends_text.split(","):
        found = _ENDS.fullmatch(part)
        if found is None or not int(found["count"]):
            reading.wrong("not-ends", _place(reading, *way, "ends"), found=part.strip())
            return None
        if not _known(reading, "yarn", found["yarn"], yarns, (*way, "ends")):
            return None
        runs.append((int(found["count"]), found["yarn"]))
    dents, ends = strips[kind.strip].dents, sum(count for count, _ in runs)
    if ends > dents:
        facts = {"unit": name, "ends": ends, "strip": kind.strip, "dents": dents}
        reading.wrong("more-ends-than-dents", _place(reading, *way, "ends"), **facts)
        return None
    if ends < dents:
        facts = {"unit": name, "ends": ends, "strip": kind.strip, "dents": dents}
        where = _place(reading, *way, "ends")
        reading.notes.append(doubt("empty-dents", where, empty=dents - ends, **facts))
    return UnitKind(
        name=name,
        strip=kind.strip,
        ends_text=kind.ends_text,
        ends=tuple(runs),
        where=kind.where,
        given=kind.given,
    )


def _known(reading: Reading, table: str, name: str, there: Mapping[str, Any], way: Way) -> bool:
    if name in there:
        return True
    if name not in reading.names(table):  # otherwise it is there, and wrong in itself
        near = get_close_matches(name, there, n=1)
        names = ", ".join(there) or "none"
        help_ = f"did you mean `{near[0]}`?" if near else f"there are: {names}"
        where = _place(reading, *way)
        reading.wrong(f"no-such-{table}", where, **{table: name}, help=help_)
    return False


def _place(reading: Reading, *way: str | int) -> Where:
    for source in reading.sources:
        where = source.places.value(*way)
        if where.line:
            return where
    return Where(reading.draft.places.at(0).file)


def _warp(reading: Reading) -> Warp | None:
    if reading.draft.table(("warp",)) is None:
        reading.wrong("no-warp", Where(reading.draft.places.at(0).file))
        return None
    return reading.table_or_none(Warp, [("warp",)])


def _units(
    reading: Reading, warp: Warp | None, kinds: Mapping[str, UnitKind]
) -> tuple[tuple[Unit, ...], int]:
    if warp is None:
        return (), MOST_PLACES  # one message is enough: any place will do in the moves
    (_, where), *_ = reading.draft.places.lines("warp", "order") or [(warp.order, Where())]
    units: list[Unit] = []
    place = 0
    counted: dict[str, int] = {}
    for token in _TOKEN.finditer(warp.order.replace("\n", " ")):
        spot = Where(where.file, where.line, where.column + token.start(), len(token.group()))
        found = _UNITS.fullmatch(token.group())
        if found is None:
            reading.wrong("not-an-order", spot, found=token.group())
            continue
        name, count = found["name"], int(found["count"] or 1)
        if place + count > MOST_PLACES:
            reading.wrong("too-many-places", spot, places=place + count, most=MOST_PLACES)
            break
        if name != "-" and name not in kinds:
            if name not in reading.names("unit"):
                near = get_close_matches(name, kinds, n=1)
                there = f"there are: {', '.join(kinds) or 'none'}"
                help_ = f"did you mean `{near[0]}`?" if near else there
                reading.wrong("no-such-unit", spot, unit=name, help=help_)
        elif name != "-":
            for step in range(count):
                counted[name] = counted.get(name, 0) + 1
                units.append(
                    Unit(
                        name=f"{name}{counted[name]}", kind=name, place=place + step + 1, where=spot
                    )
                )
        place += count
    if not units and not reading.notes:
        reading.wrong("no-units", where)
    seen: set[str] = set()
    for unit in units:
        if unit.name in seen:
            reading.wrong("same-name", where, unit=unit.name)
        seen.add(unit.name)
    return tuple(units), place


def _spans(
    reading: Reading, places: int, yarns: Mapping[str, Yarn]
) -> tuple[tuple[Span, ...], tuple[Band, ...]]:
    rows = reading.draft.data.get("span")
    where = _place(reading, "span", 0)
    if not isinstance(rows, list) or not rows or not all(isinstance(r, dict) for r in rows):
        reading.wrong("no-spans", where)
        return (), ()
    if len(rows) > MOST_SPANS:
        reading.wrong("too-many-spans", where, spans=len(rows), most=MOST_SPANS)
        return (), ()
    expansion = Expansion(_figures(reading), places)
    noted = len(reading.notes)
    expansion.check_figures()
    moves = expansion.spans([_lines(reading, ("span", k, "moves")) for k in range(len(rows))])
    reading.notes[noted:noted] = expansion.notes
    spans: list[Span] = []
    for k in range(len(rows)):
        span = reading.table_or_none(
            Span, [("span", k)], also=("moves", "band"), number=k + 1, moves=moves[k]
        )
        place = reading.draft.places.key("span", k)
        spans.append(span or Span(number=k + 1, height_mm=1.0, moves=moves[k], where=place))
    return tuple(spans), _bands(reading, len(rows), yarns)


def _bands(reading: Reading, spans: int, yarns: Mapping[str, Yarn]) -> tuple[Band, ...]:
    every: Way = ("band",)
    bands = []
    for k in range(spans + 1):
        ways: list[Way] = [("span", k - 1, "band")] if k else []
        if k in {0, spans}:
            ways.append(("band", "first" if k == 0 else "last"))
        band = reading.table(Band, [*ways, every], also=("first", "last"))
        bands.append(_checked(reading, band, yarns))
    return tuple(bands)


def _checked(reading: Reading, band: Band, yarns: Mapping[str, Yarn]) -> Band:
    picks = band.given.get("picks", band.where)
    if not all(_PICKS.fullmatch(part) for part in band.picks.split(",")):
        reading.wrong("not-picks", picks, found=band.picks)
        return Band(weft=band.weft, rod=band.rod, where=band.where, given=band.given)
    if band.rod_count and band.rod is None:
        reading.wrong("no-rod", picks)
    if band.weft and band.weft not in yarns and band.weft not in reading.names("yarn"):
        near = get_close_matches(band.weft, yarns, n=1)
        help_ = f"did you mean `{near[0]}`?" if near else f"there are: {', '.join(yarns)}"
        where = band.given.get("weft", band.where)
        reading.wrong("no-such-yarn", where, yarn=band.weft, help=help_)
    return band


def _figures(reading: Reading) -> dict[str, Figure]:
    figures: dict[str, Figure] = {}
    for source in reading.sources:
        for name, table in (source.table(("figure",)) or {}).items():
            if name not in figures and isinstance(table, Mapping):
                figure = _figure(reading, source, name, table)
                if figure:
                    figures[name] = figure
    return figures


def _figure(reading: Reading, source: Source, name: str, table: Mapping[str, Any]) -> Figure | None:
    where = source.places.key("figure", name)
    reading.refuse_unknown([("figure", name)], ("places", "spans"))
    places, spans = table.get("places"), table.get("spans")
    wrong = ""
    if isinstance(places, bool) or not isinstance(places, int) or places < 1:
        wrong, says = "places", "how many places it is wide"
    elif not isinstance(spans, list) or not all(isinstance(span, str) for span in spans):
        wrong, says = "spans", "its moves, a text for each span"
    if name in KEYWORDS or not _FIGURE_NAME.fullmatch(name):
        reading.wrong("not-a-figure-name", where, figure=name)
    elif wrong:
        spot = source.places.value("figure", name, wrong)
        facts = {"key": wrong, "table": f"figure.{name}", "says": says}
        reading.wrong("missing-key", spot if spot.line else where, **facts)
    else:
        ways: list[Way] = [("figure", name, "spans", k) for k in range(len(spans or ()))]
        rows = tuple(tuple(_lines_of(source, way)) for way in ways)
        return Figure(name, int(places or 1), rows, where)
    return None


def _lines(reading: Reading, way: Way) -> Sequence[Line]:
    table = reading.draft.table(way[:-1]) or {}
    if way[-1] not in table:
        return ()
    if not isinstance(table[str(way[-1])], str):
        where = reading.draft.places.value(*way)
        says = "moves are text: one move, or several by commas or lines"
        reading.wrong("not-understood", where, key="moves", says=says)
        return ()
    return _lines_of(reading.draft, way)


def _lines_of(source: Source, way: Way) -> Sequence[Line]:
    return [Line(text, where) for text, where in source.places.lines(*way)]


def _minutes(reading: Reading) -> Mapping[str, float]:
    minutes: dict[str, float] = {}
    for source in reversed(reading.sources):
        for name, raw in (source.table(("minutes",)) or {}).items():
            try:
                minutes[name] = read_quantity(str(raw), "minutes")
            except NotAQuantity as problem:
                where = source.places.value("minutes", name)
                reading.wrong("not-understood", where, key=name, says=str(problem))
    return MappingProxyType(minutes)

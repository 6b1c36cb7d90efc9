"""What does the text of a draft say?

`read_draft` never raises on any text: what is wrong becomes notes, all of them collected, and the
draft that comes back is as complete as can be.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from crossfell.base.nearest import help_for
from crossfell.base.notes import Note, Where, advice, doubt, error
from crossfell.base.quantities import NotAQuantity, read_quantity
from crossfell.draft.again import spans_again
from crossfell.draft.broken import not_toml, where_of
from crossfell.draft.currencies import decimals_of
from crossfell.draft.expand import BareLength, Expansion
from crossfell.draft.figures import figures_of
from crossfell.draft.kinds import RESERVED
from crossfell.draft.model import (
    About,
    Adhesive,
    Band,
    Draft,
    Hang,
    Letterhead,
    Loom,
    Rates,
    Stock,
    Strip,
    UnitKind,
    Warp,
    Week,
    Yarn,
)
from crossfell.draft.parts import DEEP, MOST_POINTS, parts_of, values_of
from crossfell.draft.prices import YarnPrice
from crossfell.draft.reference import TOP
from crossfell.draft.repeats import WovenSpan
from crossfell.draft.spanning import MOST_SPANS, spans_of, woven_of
from crossfell.draft.stock_items import StockItem, for_others, name_of
from crossfell.draft.tables import Reading, Source
from crossfell.draft.warping import UNITS, units_of
from crossfell.draft.whereabouts import Way, Whereabouts
from crossfell.materials.tables import fibre_of, fibres

MOST_LETTERS = 1_000_000
MEASURES = ("mm", "cm", "in", "m")
_ENDS = re.compile(r"\s*(?P<count>\d{1,6})\s+(?P<yarn>[\w'-]+)\s*")
_SPAN = re.compile(r"(?m)^\[\[ *span *\]\]")
_PICKS = re.compile(r"\s*(?:\d{1,4}|rod)\s*")


def read_draft(
    text: str,
    *,
    file: str = "",
    workshop: str | None = None,
    workshop_file: str = "workshop.toml",
    former: Draft | None = None,
) -> Draft:
    """Read a draft, with the workshop's text behind it. Never raises; see `Draft.notes`.

    `former` is the draft before an edit: what stands in it as well is not worked out again, and
    the draft is the very same as without it.
    """
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
    here = Draft(text=text, file=file, workshop_text=workshop or "", workshop_file=workshop_file)
    return _draft(reading, here, former)


def _source(text: str, file: str) -> tuple[Source, list[Note]]:
    empty = Source({}, Whereabouts("", file), "mm")
    if len(text) > MOST_LETTERS:
        facts = {"letters": len(text), "most": MOST_LETTERS}
        return empty, [error("too-large", Where(file), **facts)]
    if parts_of(text) is None and (deep := DEEP.search(text)):
        where = where_of(text, file, deep.start())
        return empty, [error("not-toml", where, says=f"more than {MOST_POINTS} names in one key")]
    try:
        data = values_of(text)
    except tomllib.TOMLDecodeError as problem:
        return empty, [not_toml(text, file, str(problem))]
    except (ValueError, RecursionError):
        says = (
            "a number of thousands of digits, or lists within lists by the thousand, are not read"
        )
        return empty, [not_toml(text, file, says)]
    if _too_many(data.get("span")):
        return empty, [_too_many_spans(text, file, len(data["span"]))]
    places = Whereabouts(text, file)
    measure = data.get("measure", "mm")
    if measure not in MEASURES:
        where = places.value("measure")
        says = f"a measure is one of {', '.join(MEASURES)}"
        note = error("not-understood", where, key="measure", says=says)
        return Source(data, places, "mm"), [note]
    return Source(data, places, measure), []


def _too_many(rows: object) -> bool:
    return isinstance(rows, list) and len(rows) > MOST_SPANS


def _too_many_spans(text: str, file: str, spans: int) -> Note:
    """The note, made before places are looked for: of so many spans that would take long."""
    found = _SPAN.search(text)
    where = where_of(text, file, found.start(), len(found.group())) if found else Where(file)
    return error("too-many-spans", where, spans=spans, most=MOST_SPANS)


def _draft(reading: Reading, here: Draft, former: Draft | None) -> Draft:
    reading.refuse_unknown([()], TOP)
    reading.refuse_values()
    stock = reading.table(Stock, [("stock",)])
    kept = for_others(stock.reserved, name_of(here.file))
    yarns = {n: y for n in reading.names("yarn") if (y := _yarn(reading, n, kept))}
    strips = {n: s for n in reading.names("strip") if (s := _strip(reading, n))}
    kinds = {n: k for n in reading.names("unit") if (k := _kind(reading, n, yarns, strips))}
    warp = _warp(reading)
    units, places = units_of(reading, warp, kinds)
    figures = figures_of(reading)
    measured = BareLength(reading.draft.measure, warp.pitch_mm if warp else 0.0)
    expansion = Expansion(figures, places, former.laid_out if former else None, measured)
    spans, order = spans_of(reading, expansion, spans_again(former, here))
    return replace(
        here,
        measure=reading.draft.measure,
        about=reading.table(About, [("piece",)]),
        yarns=MappingProxyType(yarns),
        strips=MappingProxyType(strips),
        kinds=MappingProxyType(kinds),
        warp=warp,
        units=units,
        place_count=places,
        bands=_bands(reading, order, yarns) if spans else (),
        spans=spans,
        woven=woven_of(reading, spans, order),
        hang=reading.table(Hang, [("hang",)]),
        loom=reading.table(Loom, [("loom",)]),
        adhesive=reading.table(Adhesive, [("adhesive",)]),
        stock=stock,
        rates=_rates(reading),
        week=reading.table(Week, [("week",)]),
        letterhead=reading.table(Letterhead, [("letterhead",)]),
        minutes=_minutes(reading),
        notes=tuple(reading.notes),
        laid_out=expansion.laid_out(),
    )


def _rates(reading: Reading) -> Rates:
    """Rates, with the decimals of the currency; a profit on the price is less than the whole."""
    rates = reading.table(Rates, [("rates",)])
    if "minor" not in rates.given:
        rates = replace(rates, minor=decimals_of(rates.currency))
    if rates.profit_on == "price" and rates.profit >= 1:
        says = (
            f"profit on the price is a part of the price: less than 100 %, not {rates.profit:.0%}"
        )
        where = rates.given.get("profit", rates.where)
        reading.wrong("not-understood", where, key="profit", says=says)
    return rates


def _yarn(reading: Reading, name: str, kept: tuple[StockItem, ...]) -> Yarn | None:
    grams = sum(item.size for item in kept if (item.kind, item.name) == ("yarn", name))
    yarn = reading.table_or_none(Yarn, [("yarn", name)], name=name, reserved_g=grams)
    if yarn and yarn.fibre.strip() and fibre_of(yarn.fibre) is None:
        facts = {"fibre": yarn.fibre, **help_for(yarn.fibre, fibres())}
        reading.notes.append(advice("no-such-fibre", yarn.given["fibre"], **facts))
    return _priced(reading, yarn) if yarn else None


def _priced(reading: Reading, yarn: Yarn) -> Yarn:
    """The yarn with its price for a kilogramme, where it is sold by length or put-up."""
    price: object = yarn.price
    if not isinstance(price, YarnPrice):
        return yarn
    try:
        return replace(yarn, price=price.per_kg(yarn.count.tex, yarn.put_up_g))
    except NotAQuantity as problem:
        reading.wrong("not-understood", yarn.given["price"], key="price", says=str(problem))
        return replace(yarn, price=None)


def _strip(reading: Reading, name: str) -> Strip | None:
    return reading.table_or_none(Strip, [("strip", name)], name=name)


def _kind(
    reading: Reading, name: str, yarns: Mapping[str, Yarn], strips: Mapping[str, Strip]
) -> UnitKind | None:
    way: Way = ("unit", name)
    where = reading.place(*way)
    if not UNITS.fullmatch(name) or name in RESERVED:
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
            reading.wrong("not-ends", reading.place(*way, "ends"), found=part.strip())
            return None
        if not _known(reading, "yarn", found["yarn"], yarns, (*way, "ends")):
            return None
        runs.append((int(found["count"]), found["yarn"]))
    dents, ends = strips[kind.strip].dents, sum(count for count, _ in runs)
    if ends > dents:
        facts = {"unit": name, "ends": ends, "strip": kind.strip, "dents": dents}
        reading.wrong("more-ends-than-dents", reading.place(*way, "ends"), **facts)
        return None
    if ends < dents:
        facts = {"unit": name, "ends": ends, "strip": kind.strip, "dents": dents}
        where = reading.place(*way, "ends")
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
        where = _word(reading, name, *way)
        reading.wrong(f"no-such-{table}", where, **{table: name}, **help_for(name, there))
    return False


def _word(reading: Reading, word: str, *way: str | int) -> Where:
    """Where a word stands in the text at a way."""
    for source in reading.sources:
        where = source.places.word(word, *way)
        if where.line:
            return where
    return reading.place(*way)


def _warp(reading: Reading) -> Warp | None:
    if reading.draft.table(("warp",)) is None:
        reading.wrong("no-warp", Where(reading.draft.places.at(0).file))
        return None
    return reading.table_or_none(Warp, [("warp",)])


def _bands(
    reading: Reading, order: Sequence[WovenSpan], yarns: Mapping[str, Yarn]
) -> tuple[Band, ...]:
    every: Way = ("band",)
    plain = _checked(reading, reading.table(Band, [every], also=("first", "last")), yarns)
    bands = []
    spans = len(order)
    for k in range(spans + 1):
        own: Way = ("span", order[k - 1].written, "band")
        if k not in {0, spans} and reading.draft.table(own) is None:
            bands.append(plain)
            continue
        ways: list[Way] = [own] if k else []
        if k in {0, spans}:
            ways.append(("band", "first" if k == 0 else "last"))
        band = reading.table(Band, [*ways, every], also=("first", "last"))
        bands.append(_checked(reading, band, yarns))
    return tuple(bands)


def _checked(reading: Reading, band: Band, yarns: Mapping[str, Yarn]) -> Band:
    picks = band.given.get("picks", band.where)
    whole = all(_PICKS.fullmatch(part) for part in band.picks.split(","))
    if not whole or not band.pick_count:
        reading.wrong("not-picks", picks, found=band.picks)
        return Band(weft=band.weft, rod=band.rod, where=band.where, given=band.given)
    if band.rod_count and band.rod is None:
        reading.wrong("no-rod", picks)
    if band.weft and band.weft not in yarns and band.weft not in reading.names("yarn"):
        where = _in_quotes(band.given.get("weft", band.where), band.weft)
        reading.wrong("no-such-yarn", where, yarn=band.weft, **help_for(band.weft, yarns))
    return band


def _in_quotes(where: Where, word: str) -> Where:
    """A word that is all that stands between its quotes."""
    return Where(where.file, where.line, where.column + 1, len(word))


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

"""Which spans does a draft have, in weaving order, and what is done in each?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from crossfell.base.notes import NOWHERE, Where
from crossfell.base.quantities import NotAQuantity
from crossfell.draft.again import moved
from crossfell.draft.expand import Anew, Expansion
from crossfell.draft.model import Move, Repeat, Span, Woven
from crossfell.draft.repeats import Repeating, TooMany, WovenSpan, change_of, woven_rows
from crossfell.draft.tables import Reading
from crossfell.draft.whereabouts import Passage, Way

MOST_SPANS = 2_000


def spans_of(
    reading: Reading, expansion: Expansion, again: Sequence[Span | None]
) -> tuple[tuple[Span, ...], Sequence[WovenSpan]]:
    """Spans in weaving order; `again` are those that stand as they did before an edit."""
    rows = reading.draft.data.get("span")
    where = reading.place("span", 0)
    if not isinstance(rows, list) or not rows or not all(isinstance(r, dict) for r in rows):
        reading.wrong("no-spans", where)
        return (), ()
    noted = len(reading.notes)
    order, repeats = _order(reading, len(rows))
    passages = [_passage(reading, ("span", k, "moves")) for k in range(len(rows))]
    expansion.check_figures()
    moves = expansion.spans(
        [passages[row.written] for row in order],
        [_anew(row, repeats, expansion.places) for row in order],
    )
    done = [_as_woven(reading, expansion, k) for k in range(len(rows))]
    reading.notes[noted:noted] = expansion.notes
    written: list[Span] = []
    spans: list[Span] = []
    stood = dict(enumerate(again))
    for number, row in enumerate(order, 1):
        made = moves[number - 1]
        if row.repeat is not None:
            where = repeats[row.repeat].where
            first = written[row.written]
            spans.append(replace(first, number=number, moves=made, woven=None, where=where))
            continue
        k, was = row.written, stood.get(row.written)
        place = reading.draft.places.key("span", k)
        if was is not None:
            span = moved(was, number, place, made, done[k])
        else:
            also = ("moves", "woven", "band")
            fixed = {"number": number, "moves": made, "woven": done[k]}
            found = reading.table_or_none(Span, [("span", k)], also=also, **fixed)
            span = found or Span(number=number, height_mm=1.0, moves=made, where=place)
        written.append(span)
        spans.append(span)
    return tuple(spans), order


def _order(reading: Reading, written: int) -> tuple[list[WovenSpan], list[Repeat]]:
    """Spans in weaving order, and the repeats that make some of them."""
    tables = reading.draft.data.get("repeat", [])
    spots = [_spot(reading.draft.places.key("span", k)) for k in range(written)]
    plain = [WovenSpan(k) for k in range(written)]
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        says = "a repeat is written as [[repeat]], below the spans that it repeats"
        where = reading.draft.places.value("repeat")
        reading.wrong("not-understood", where, key="repeat", says=says)
        return plain, []
    repeats, asked = [], []
    for k in range(len(tables)):
        repeat = reading.table_or_none(Repeat, [("repeat", k)])
        if repeat is None:
            return plain, []
        try:
            each = change_of(repeat.each)
        except NotAQuantity as problem:
            reading.wrong("not-understood", repeat.given["each"], key="each", says=str(problem))
            return plain, []
        repeats.append(repeat)
        asked.append(Repeating(_spot(repeat.where), repeat.spans, repeat.times, each))
    try:
        return woven_rows(spots, asked, MOST_SPANS), repeats
    except TooMany as problem:
        repeat = repeats[problem.repeat]
        facts = {"spans": repeat.spans, "above": problem.above}
        code, most = "repeat-of-nothing", {}
        if repeat.spans <= problem.above:
            code, most = "too-many-spans", {"most": MOST_SPANS}
            facts = {"spans": problem.above + repeat.spans * (repeat.times - 1)}
        reading.wrong(code, repeat.where, **facts, **most)
        return plain, []


def _spot(where: Where) -> tuple[int, int]:
    return where.line, where.column


def _anew(row: WovenSpan, repeats: Sequence[Repeat], places: int) -> Anew | None:
    if row.repeat is None:
        return None
    return Anew(row.written, row.change.laying(places), repeats[row.repeat].where)


def _as_woven(reading: Reading, expansion: Expansion, k: int) -> tuple[Move, ...] | None:
    """Moves of a span as really made; None when nothing else is said than what is drafted."""
    way: Way = ("span", k, "woven")
    if "woven" not in (reading.draft.table(way[:-1]) or {}):
        return None
    return expansion.spans([_passage(reading, way)])[0]


def woven_of(reading: Reading, spans: Sequence[Span], order: Sequence[WovenSpan]) -> Woven:
    """How far the piece is; not further than it goes, nor less than is said to be woven."""
    woven = reading.table(Woven, [("woven",)])
    last = max((span.number for span in spans if span.woven is not None), default=0)
    if woven.spans > len(spans) or woven.spans < last:
        written = order[last - 1].written if last else 0
        where = woven.given.get("spans", reading.place("span", written, "woven"))
        facts = {"done": woven.spans, "spans": len(spans), "last": last or "none"}
        reading.wrong("woven-so-far", where, **facts)
        return Woven()
    return woven


def _passage(reading: Reading, way: Way) -> Passage:
    table = reading.draft.table(way[:-1]) or {}
    if way[-1] not in table:
        return Passage("", NOWHERE)
    if not isinstance(table[str(way[-1])], str):
        where = reading.draft.places.value(*way)
        says = "moves are text: one move, or several by commas or lines"
        reading.wrong("not-understood", where, key="moves", says=says)
        return Passage("", NOWHERE)
    return reading.draft.places.passage(*way)

"""Which figures does a draft have, as text?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from crossfell.draft.expand import Figure, MoveLine
from crossfell.draft.forms import NAME
from crossfell.draft.kinds import RESERVED
from crossfell.draft.tables import Reading, Source
from crossfell.draft.whereabouts import Way

PLACES_SAY = "how many places it is wide"
SPANS_SAY = "its moves, a text for each span"


def figures_of(reading: Reading) -> dict[str, Figure]:
    """The figures of the draft and of the workshop behind it; the draft's own win."""
    figures: dict[str, Figure] = {}
    for source in reading.sources:
        for name, table in (source.table(("figure",)) or {}).items():
            if name not in figures and isinstance(table, Mapping):
                figure = _figure(reading, source, name, table)
                if figure:
                    figures[name] = figure
    return figures


def lines_at(source: Source, way: Way) -> Sequence[MoveLine]:
    """The lines of a text, each with its place."""
    return [MoveLine(text, where) for text, where in source.places.lines(*way)]


def _figure(reading: Reading, source: Source, name: str, table: Mapping[str, Any]) -> Figure | None:
    where = source.places.key("figure", name)
    reading.refuse_unknown([("figure", name)], ("places", "spans"))
    places, spans = table.get("places"), table.get("spans")
    if name in RESERVED or not NAME.fullmatch(name):
        reading.wrong("not-a-figure-name", where, figure=name)
        return None
    wrong = ""
    if isinstance(places, bool) or not isinstance(places, int) or places < 1:
        wrong, says = "places", PLACES_SAY
    elif not isinstance(spans, list) or not all(isinstance(span, str) for span in spans):
        wrong, says = "spans", SPANS_SAY
    if wrong:
        spot = source.places.value("figure", name, wrong)
        if wrong in table:
            says = f"{says}, as `{wrong} = {_AS[wrong]}`"
            reading.wrong("not-understood", spot, key=wrong, says=says)
            return None
        facts = {"key": wrong, "table": f"[figure.{name}]", "says": says, "example": _AS[wrong]}
        reading.wrong("missing-key", where, **facts)
        return None
    ways: list[Way] = [("figure", name, "spans", k) for k in range(len(spans or ()))]
    rows = tuple(tuple(lines_at(source, way)) for way in ways)
    return Figure(name, int(places or 1), rows, where)


_AS = {"places": "4", "spans": '["1-2 over 3-4", "2 under 3"]'}

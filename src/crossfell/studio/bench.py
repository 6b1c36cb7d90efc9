"""What did she measure at the bench, what stands for it now, and what would it change?

The trials, their words and their sums are those of `crossfell measure`; here their readings come
from fields, and the piece is worked out again with the value in it, before anything is written.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

from crossfell.base.quantities import written
from crossfell.draft.edit import set_key
from crossfell.draft.model import Draft
from crossfell.draft.script import opened, way_of
from crossfell.facts.build import facts_of
from crossfell.piece import Piece
from crossfell.plan.measure import Measured
from crossfell.plan.measure_sheet import TRIALS, AskedValue, answered, beside, trial
from crossfell.studio.asked import Asked, table, word
from crossfell.studio.folder import Refused
from crossfell.studio.showing import is_large, later_numbers, quick_numbers

Told = dict[str, Any]


def trials_told(draft: Draft) -> list[Told]:
    """Every trial: what it gives, what to do, what to read off."""
    return [
        {
            "name": one.name,
            "gives": one.gives,
            "do": list(one.do),
            "readings": [_reading(reading, draft) for reading in one.readings],
        }
        for one in TRIALS
    ]


def _reading(reading: AskedValue, draft: Draft) -> Told:
    options = list(draft.yarns) if reading.kind == "name" else []
    default = "" if options else reading.default
    return {"name": reading.name, "asks": reading.asks, "options": options, "default": default}


def measured_of(asked: Asked) -> Measured:
    """What the readings in a call come to. Errors: Refused with a sentence for the maker."""
    said = table(asked, "readings")
    readings = {key: word(said, key) for key in said if isinstance(key, str)}
    given = {key: text.strip() for key, text in readings.items() if text.strip()}
    try:
        return answered(trial(word(asked, "trial")), given)
    except (ValueError, ArithmeticError) as problem:
        raise Refused(str(problem)) from None


def taken_over(text: str, found: Measured) -> str:
    """A draft's or a workshop's text with a measured value in it. Errors: NotEditable."""
    for key, value in tomllib.loads(found.line).items():
        text = set_key(text, _path(found, key), value)
    return text


def measured_told(before: Piece, after: Piece, found: Measured) -> Told:
    """The value, what stands for it now, who else says it, and what it would change."""
    draft = before.draft
    return {
        "says": found.told,
        "now": beside(found, draft),
        "line": f"[{found.table}]\n{found.line}",
        "shared": found.table != "band",  # bands are a piece's own
        "wins": _said_by(draft.text, found),
        "effects": differences(before, after) if after.computable else [],
        "broken": not after.computable,
    }


def differences(before: Piece, after: Piece) -> list[Told]:
    """Every shown number that is another one then."""
    old, new = _numbers(before), _numbers(after)
    return [
        {"label": label, "before": old.get(label, ""), "after": value}
        for label, value in new.items()
        if value != old.get(label, "")
    ]


def _numbers(piece: Piece) -> Mapping[str, str]:
    shown = [*quick_numbers(piece), *([] if is_large(piece) else later_numbers(piece))]
    more = {} if is_large(piece) else _at_the_loom(piece)
    return {number["label"]: number["value"] for number in shown} | more


def _at_the_loom(piece: Piece) -> dict[str, str]:
    """What bench values decide beside the numbers of the lower edge."""
    facts, measure = facts_of(piece), piece.draft.measure
    units, shared = facts["units"], facts["loom"]["shared"]
    bands = piece.paths.band_top_mm - piece.paths.band_bottom_mm
    limits = [kind["limit"] for kind in shared if kind["limit"] is not None]
    least, most = ([unit[key] for unit in units] for key in ("fell_least", "fell_most"))
    low, high = (written(float(side), measure) for side in (bands.min(), bands.max()))
    told = {
        "Weights together": f"{sum(unit['weight'] for unit in units) / 1000:.2f} kg",
        "Pull at the fell": f"{min(least):.2f} to {max(most):.2f} N",
        "Bands, lowest to highest": f"{low} to {high}",
    }
    if limits:
        told["Hole ends carry all beyond"] = written(min(limits), measure)
    return told


def _said_by(text: str, found: Measured) -> list[str]:
    """Keys of the value that a text says itself."""
    script = opened(text)
    keys = tomllib.loads(found.line)
    return [key for key in keys if script.at(way_of(script, _path(found, key))) is not None]


def _path(found: Measured, key: str) -> str:
    family, _, name = found.table.partition(".")
    return f'{family}."{name}".{key}' if name else f"{family}.{key}"

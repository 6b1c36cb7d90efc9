"""How is a value said: to her, in her measure and rounded, and with its formula, to six digits?"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from crossfell.base.quantities import written, written_long
from crossfell.draft.model import Draft
from crossfell.facts.declare import MONEY, Put

_HOLE = re.compile(r"\{(\w+)(?:\.(most|least|count))?\}")
LONG_MM = 10_000  # from here a length is told in metres or yards
MANY = 12  # items of a list that a sentence names


def sentence(template: str, put: Mapping[str, Put], draft: Draft) -> str:
    """A template with its holes filled; what fills a hole is never read again."""

    def filled(hole: re.Match[str]) -> str:
        found = put[hole[1]]
        return _at_the_end(found, hole[2], draft) if hole[2] else plain(found, draft)

    return _HOLE.sub(filled, template)


def _at_the_end(put: Put, which: str, draft: Draft) -> str:
    """The greatest or least of a list, and whose it is; or how many there are."""
    if which == "count":
        return str(len(put.value))
    if not put.value:
        return "none"
    choose = max if which == "most" else min
    index = choose(range(len(put.value)), key=put.value.__getitem__)
    value = plain(Put(put.value[index], put.unit), draft)
    return f"{put.labels[index]} with {value}" if put.labels else value


def plain(put: Put, draft: Draft) -> str:
    """A value as she reads it: her measure, few digits."""
    value, unit = put.value, put.unit
    if isinstance(value, (list, tuple)):
        shown = [plain(Put(item, unit), draft) for item in value[:MANY]]
        return ", ".join(shown) + ("…" if len(value) > MANY else "") if shown else "none"
    if value is None:
        return "open"
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return ("yes" if value else "no") if isinstance(value, bool) else str(value)
    if unit == "mm":
        return (written_long if abs(value) >= LONG_MM else written)(value, draft.measure)
    if unit == "rad":
        return f"{math.degrees(value):.0f}°"
    if unit == "%":
        return f"{100 * value:.3g} %"
    if unit == MONEY:
        return f"{value:,.{draft.rates.minor}f} {draft.rates.currency}".replace(",", "\u202f")
    number = f"{value:.0f}" if abs(value) >= 1000 else f"{value:.3g}"
    return f"{number} {unit}".rstrip()


def exact(put: Put, draft: Draft, digits: int = 6) -> str:
    """A value as it stands in the formula, with its unit, and whether it is hers or a default."""
    if put.value is None or put.value == ():
        return "nothing said"
    text = _bare(put.value, put.unit, digits)
    unit = draft.rates.currency if put.unit == MONEY else put.unit
    if unit and not text.endswith(("%", "°")) and not isinstance(put.value, (bool, str)):
        text = f"{text} {unit}"
    return f"{text} (default)" if put.default else text


def _bare(value: Any, unit: str, digits: int) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{name}: {item}" for name, item in value.items()) or "none"
    if isinstance(value, (list, tuple)):
        if value and isinstance(value[0], tuple):  # weights that she owns
            return ", ".join(f"{mass:g} g * {count}" for mass, count in value)
        return ", ".join(_bare(item, unit, digits) for item in value) or "none"
    if isinstance(value, bool):
        return "true" if value else "false"
    if not isinstance(value, (int, float)):
        return "open" if value is None else str(value)
    if unit == "rad":
        return f"{math.degrees(value):.{digits}g}°"
    if unit == "%":
        return f"{100 * value:.{digits}g} %"
    return f"{value:.{digits}g}" if isinstance(value, float) else str(value)

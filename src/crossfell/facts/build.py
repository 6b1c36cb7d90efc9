"""Every computed number of a piece as plain lists and tables, from the declarations.

Lengths in mm, forces in N, masses in g, angles in rad; docs/facts.schema.json has the form.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from typing import Any

from crossfell.facts.declare import Fact, Put
from crossfell.facts.declared import FACTS
from crossfell.facts.told import exact
from crossfell.piece import Piece

Facts = dict[str, Any]


def facts_of(piece: Piece) -> Facts:
    """Build the facts of a piece; of one that cannot be computed there are only the notes."""
    facts: Facts = {"facts": 1}
    for fact in FACTS.values():
        if piece.computable or fact.level.path == "notes":
            _place(facts, fact, piece)
    return facts


def value_of(piece: Piece, kind: str, *index: int) -> Any:
    """One number of a computable piece, unrounded."""
    return FACTS[kind].of(piece, *index).value


def _place(facts: Facts, fact: Fact, piece: Piece) -> None:
    """Put the numbers of one kind where they belong."""
    *outer, last = fact.level.path.split(".")
    table = facts
    for part in outer:
        table = table.setdefault(part, {})
    values = [as_kept(fact, fact.of(piece, *index).value) for index in fact.indices(piece)]
    if not fact.level.size:
        table.setdefault(last, {})[fact.name] = values[0]
        return
    rows = table.setdefault(last, [{} for _ in values])
    for row, value in zip(rows, values, strict=True):
        row[fact.name] = value


def as_kept(fact: Fact, value: Any) -> Any:
    """A value as it stands in the facts: rounded, and null where it is not a number."""
    if isinstance(value, (list, tuple)):
        return [as_kept(fact, item) for item in value]
    if not isinstance(value, float):
        return value
    if not math.isfinite(value):
        return None
    if fact.digits is None:
        return float(f"{value:.1e}")  # how exact a solver was: its size is all that matters
    return round(value, fact.digits) + 0.0


def written(facts: Facts) -> str:
    """Write facts as JSON: the same bytes for the same draft."""
    return json.dumps(facts, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def as_text(piece: Piece) -> str:
    """Write facts for reading: one line per number with its unit, the way that `why` takes it."""
    lines = []
    for way, fact, value in numbers_of(piece):
        kept = as_kept(fact, value)
        shown = exact(Put(kept, fact.unit), piece.draft, 10) if kept != () else "none"
        lines.append(f"{way} = {shown}")
    return "\n".join(lines)


def numbers_of(piece: Piece) -> Iterator[tuple[str, Fact, Any]]:
    """Every number with its way, its declaration and its value, unrounded, level by level."""
    levels: dict[str, list[Fact]] = {}
    for fact in FACTS.values():
        if piece.computable or fact.level.path == "notes":
            levels.setdefault(fact.level.path, []).append(fact)
    for facts in levels.values():
        for index in facts[0].indices(piece):
            for fact in facts:
                yield fact.way(piece, *index), fact, fact.of(piece, *index).value


def leaves(facts: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Walk every single value with its way from the top; list items go by name or number."""
    if isinstance(facts, dict):
        for name, value in facts.items():
            yield from leaves(value, f"{path}.{name}" if path else name)
    elif isinstance(facts, list) and facts and isinstance(facts[0], dict):
        for index, item in enumerate(facts, 1):
            yield from leaves(item, f"{path}.{_label_of(item, index)}")
    else:
        yield path, facts


def _label_of(item: Facts, index: int) -> str:
    if "name" in item:
        return str(item["name"])
    if "units" in item and isinstance(item["units"], list):
        return "-".join(map(str, item["units"]))
    return str(item.get("number", item.get("band", index)))

"""How does a number explain itself in the studio, and how does she go down to its parts?"""

from __future__ import annotations

from typing import Any

from crossfell.draft.model import Draft
from crossfell.facts.declare import MONEY, Put
from crossfell.facts.told import exact
from crossfell.facts.why import Because, parts_of

Told = dict[str, Any]


def why_told(answer: Because, draft: Draft) -> Told:
    """An answer as the panel shows it: sentences, then formula, source, what was put in."""
    fact = answer.fact
    return {
        "what": answer.what,
        "value": answer.value,
        "unit": draft.rates.currency if answer.unit == MONEY else answer.unit,
        "shown": exact(Put(answer.value, answer.unit), draft),
        "says": answer.says,
        "rule": fact.rule,
        "formula": answer.formula,
        "source": fact.source,
        "solved": not fact.formulas,
        "put": [_row(name, put, draft) for name, put in answer.put.items()],
        "lines": [
            where.line
            for where in answer.lines
            if not where.file or where.file != draft.workshop_file
        ],  # of this piece's own text
    }


def _row(name: str, put: Put, draft: Draft) -> Told:
    """A value put in; of a total every part, each with the way to ask for it."""
    row: Told = {"name": name.replace("_", " "), "parts": []}
    if put.labels:
        ways = put.ways or ("",) * len(put.labels)
        parts = zip(parts_of(put, draft), ways, strict=True)
        return row | {
            "shown": f"{len(put.labels)} together",
            "way": "",
            "parts": [{"name": label, "shown": shown, "way": way} for (label, shown), way in parts],
        }
    return row | {"shown": exact(put, draft), "way": put.ways[0] if len(put.ways) == 1 else ""}

"""How did a number come about: draft lines, rule, formula, source, the values put in?

A number is asked for by its way in the facts, as `units.a1.winding_length`. Rules stand in
rules.toml, one for each kind of number; what was put in is worked out here from the piece.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from crossfell.base.notes import Where
from crossfell.draft.model import Draft
from crossfell.facts.build import facts_of, leaves
from crossfell.facts.putin import put_in
from crossfell.piece import Piece


@dataclass(frozen=True, kw_only=True)
class Because:
    """Everything that is known about how one number came about."""

    what: str
    value: Any
    unit: str
    rule: str
    formula: str
    source: str
    values: tuple[tuple[str, str], ...]  # name, value as it was put in
    lines: tuple[Where, ...]  # of the draft or the workshop


@dataclass(frozen=True, kw_only=True)
class Unknown:
    """There is no such number; `says` names the nearest."""

    says: str


@cache
def rules() -> dict[str, dict[str, str]]:
    """Rules by kind of number, as `units.winding_length`."""
    text = (files("crossfell.facts") / "rules.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def can_be_asked(piece: Piece) -> list[str]:
    """Every way that `because` answers, in the order of the facts."""
    return [way for way in _ways(piece) if kind_of(way) in rules()]


@lru_cache(maxsize=1)
def _ways(piece: Piece) -> dict[str, Any]:
    """Every value of a piece by its way; kept for the next question about the same piece."""
    return dict(leaves(facts_of(piece)))


def because(piece: Piece, what: str) -> Because | Unknown:
    """Explain one number."""
    ways = _ways(piece)
    way = what.strip()
    if way not in ways or kind_of(way) not in rules():
        known = [known for known in ways if kind_of(known) in rules()]
        near = get_close_matches(way, known, n=3, cutoff=0.5)
        help_ = f"; did you mean {' or '.join(near)}?" if near else "."
        return Unknown(says=f"there is no number {way}{help_} Without WHAT, all are listed.")
    rule = rules()[kind_of(way)]
    values, lines = put_in(piece, way)
    return Because(
        what=way,
        value=ways[way],
        unit=rule["unit"],
        rule=rule["rule"],
        formula=rule["formula"],
        source=rule["source"],
        values=tuple(values),
        lines=tuple(lines),
    )


def kind_of(way: str) -> str:
    """Kind of number that a way leads to: names and numbers of list items are left out."""
    parts = way.split(".")
    if len(parts) < 2:
        return way
    if parts[0] == "stock" and len(parts) >= 4:
        return ".".join([parts[0], parts[1], parts[-1]])
    if parts[0] in {"units", "bands", "pairs", "notes", "yarns", "kinds"}:
        return f"{parts[0]}.{parts[-1]}"
    if parts[0] == "spans":
        return f"spans.{parts[2]}"
    if parts[0] in {"loom", "winding", "hung", "plan"} and len(parts) == 4:
        return ".".join([*parts[:2], parts[3]])
    return way


def told(answer: Because, draft: Draft) -> str:
    """Write an answer for reading."""
    shown = answer.value
    unit = f" {answer.unit}" if answer.unit else ""
    out = [f"{answer.what} = {shown}{unit}", "", f"  rule     {answer.rule}",
           f"  formula  {answer.formula}", f"  source   {answer.source}"]  # fmt: skip
    if answer.values:
        out += ["", "  put in"]
        width = max(len(name) for name, _ in answer.values)
        out += [f"    {name:{width}}  {value}" for name, value in answer.values]
    lines = [where for where in answer.lines if where.line]
    if lines:
        out += ["", "  from the draft"]
        out += [f"    {where.file}:{where.line}: {_line(draft, where)}" for where in _once(lines)]
    return "\n".join(out)


def _line(draft: Draft, where: Where) -> str:
    rows = draft.text_of(where.file).splitlines()
    return rows[where.line - 1].strip() if where.line <= len(rows) else ""


def _once(lines: Sequence[Where]) -> list[Where]:
    seen = {(where.file, where.line): where for where in lines}
    return list(seen.values())

"""How did a number come about: in plain words, then draft lines, rule, formula, source, values?

A number is asked for by its way in the facts, as `units.a1.winding_length`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from crossfell.base.notes import Where
from crossfell.draft.model import Draft
from crossfell.facts.declare import AS_WRITTEN, Fact, Inputs, Put
from crossfell.facts.declared import FACTS
from crossfell.facts.formula import printed
from crossfell.facts.told import exact, sentence
from crossfell.piece import Piece

ALL_DIGITS = 17


@dataclass(frozen=True, kw_only=True)
class Because:
    """Everything that is known about how one number came about."""

    what: str
    value: Any  # as the kernel gave it
    fact: Fact
    says: str  # in her words
    formula: str  # as it is printed; of a number that was searched for, what it promises
    put: Inputs

    @property
    def unit(self) -> str:
        """Its unit; "money" is in the currency of the rates."""
        return self.fact.unit

    @property
    def lines(self) -> tuple[Where, ...]:
        """Lines of the draft or the workshop, each once."""
        found = [line for put in self.put.values() for line in put.lines if line.line]
        return tuple({(line.file, line.line): line for line in found}.values())


@dataclass(frozen=True, kw_only=True)
class Unknown:
    """There is no such number; `says` names the nearest."""

    says: str


def can_be_asked(piece: Piece) -> list[str]:
    """Every way that `because` answers, in the order of the facts."""
    if not piece.computable:
        return []
    return [way for fact in FACTS.values() if fact.asked for way, _ in fact.ways(piece)]


def because(piece: Piece, what: str) -> Because | Unknown:
    """Explain one number."""
    way = what.strip()
    found = _found(piece, way)
    if found is None:
        near = get_close_matches(way, can_be_asked(piece), n=3, cutoff=0.5)
        help_ = f"; did you mean {' or '.join(near)}?" if near else "."
        return Unknown(says=f"there is no number {way}{help_} Without WHAT, all are listed.")
    fact, index = found
    value, put_in, case = fact.of(piece, *index)
    put = put_in()
    formula = fact.formulas.get(case, "")
    known = {**put, "value": Put(value, fact.unit), "name": Put(_name(piece, fact, index))}
    return Because(
        what=way,
        value=value,
        fact=fact,
        says=sentence(fact.says or fact.rule, known, piece.draft),
        formula=(formula if formula == AS_WRITTEN else printed(formula)) if formula else fact.holds,
        put=put,
    )


def _found(piece: Piece, way: str) -> tuple[Fact, tuple[int, ...]] | None:
    """The fact that a way leads to; names may have points in them."""
    if not piece.computable:
        return None
    for fact in FACTS.values():
        start, star, end = fact.kind.partition("*")
        if fact.asked and way.startswith(start) and way.endswith(end):
            for known, index in fact.ways(piece) if star else [(fact.kind, ())]:
                if known == way:
                    return fact, index
    return None


def _name(piece: Piece, fact: Fact, index: tuple[int, ...]) -> str:
    label = fact.level.label
    return label(piece, *index) if label and index else ""


def told(answer: Because, draft: Draft, *, all_digits: bool = False) -> str:
    """Write an answer for reading: the sentences first."""
    digits = ALL_DIGITS if all_digits else 6
    fact, value = answer.fact, exact(Put(answer.value, answer.unit), draft, digits)
    word = "formula" if fact.formulas else "holds"
    out = [answer.says, "", f"{answer.what} = {value}", "", f"  rule     {fact.rule}",
           f"  {word:7}  {answer.formula}", f"  source   {fact.source}"]  # fmt: skip
    if answer.put:
        out += ["", "  put in"]
        names = {name: name.replace("_", " ") for name in answer.put}
        width = max(map(len, names.values()))
        for name, put in answer.put.items():
            out.append(f"    {names[name]:{width}}  {_row(put, draft, digits)}")
    if answer.lines:
        out += ["", "  from the draft"]
        out += [f"    {w.file}:{w.line}: {_line(draft, w)}" for w in answer.lines]
    return "\n".join(out)


def _row(put: Put, draft: Draft, digits: int) -> str:
    """A value put in: of a list each item with its name, and how to ask for it."""
    if not put.labels:
        ask = f"   (why {put.ways[0]})" if len(put.ways) == 1 else ""
        return exact(put, draft, digits) + ask
    items = parts_of(put, draft, digits)
    ask = f"   (why {put.ways[0]}, …)" if put.ways else ""
    alike = {shown for _, shown in items}
    if len(items) > 1 and len(alike) == 1:
        return f"{len(items)} times {alike.pop()}{ask}"
    return "; ".join(f"{label}: {shown}" for label, shown in items) + ask if items else "none"


def parts_of(put: Put, draft: Draft, digits: int = 6) -> Sequence[tuple[str, str]]:
    """Items of a list, each with its name."""
    values = [exact(put._replace(value=item), draft, digits) for item in put.value]
    return list(zip(put.labels, values, strict=True))


def _line(draft: Draft, where: Where) -> str:
    rows = draft.text_of(where.file).splitlines()
    return rows[where.line - 1].strip() if where.line <= len(rows) else ""

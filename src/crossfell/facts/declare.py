"""How is a fact declared, once, for everything that shows it?

A level says which things there are and how each is called; a fact is a short function below it:

    LEVELS = level("units", whom="maker", size=lambda p: len(p.draft.units),
                   label=lambda p, u: p.draft.units[u].name, says="one for each unit")

    @fact("units.*.yarn_mass", "g", formula="sum(ends * tex) * winding_length / 1e6",
          source="definition of tex, ISO 1144",
          says="The yarn on the bobbin of {name} weighs {value}.")
    def yarn_mass(piece: Piece, u: int) -> Answer:
        \"\"\"Mass of all ends on the unit's bobbin.\"\"\"                            # the rule
        ...
        return Answer(mass, lambda: other(piece, "units.*.winding_length", u) | {"ends": Put(…)})

The value is the kernel's; what is put in is worked out when somebody asks. The names put in are
those of the formula, and the formula, evaluated on them, gives the value (tests/facts). What is
searched for or solved has no formula but `holds`, the sentence of a property, which the tests
check. `formula=AS_WRITTEN` is for what stands in the draft. What has none of these is a label: it
stands in the facts, and nobody asks why. A formula may have cases, by a word that the answer bears.
From the declarations come facts.json, its schema, `why`, the studio's numbers and docs/facts.md: to
add a fact, write its function below its level and run tests/facts/facts_page.py.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, NamedTuple

from crossfell.base.notes import Where
from crossfell.draft.keys import key_name, kind_of
from crossfell.draft.model import DraftTable, Rod
from crossfell.piece import Piece

AS_WRITTEN = "as written"
MONEY = "money"  # the unit of a price: the currency of the rates


class Put(NamedTuple):
    """A value put into a number: a number, a word, or a list of one for each of something."""

    value: Any
    unit: str = ""
    default: bool = False  # nobody said it
    lines: tuple[Where, ...] = ()  # of the draft or the workshop
    ways: tuple[str, ...] = ()  # the facts that it is: of a list, one for each item
    labels: tuple[str, ...] = ()  # of a list: how each item is called


Inputs = dict[str, Put]


class Answer(NamedTuple):
    """A value as the kernel gave it, unrounded (None while it is open), and what was put in."""

    value: Any
    put_in: Callable[[], Inputs] = dict
    case: str = ""  # which of the formulas, where there are several


@dataclass(frozen=True)
class Level:
    """A list of things in the facts, or a table when `size` is None."""

    path: str
    whom: str  # maker, loom, hanging, shop, client: who reads these
    says: str
    size: Callable[[Piece], int] | None = None
    label: Callable[[Piece, int], str] | None = None

    @property
    def one(self) -> str:
        """How one of its things is called: `span` of `spans`."""
        word = self.path.split(".")[-1]
        return {"handling": "span", "letoff": "span", "shared": "kind"}.get(word, word.rstrip("s"))


@dataclass(frozen=True, kw_only=True)
class Fact:
    """One kind of fact."""

    kind: str  # its path, as `units.*.yarn_mass`
    level: Level
    unit: str
    form: str  # how it stands in facts.json, see schema.py
    rule: str
    says: str
    formulas: Mapping[str, str]  # by case
    holds: str
    source: str
    digits: int | None
    whom: str
    of: Callable[..., Answer]

    @property
    def asked(self) -> bool:
        """Whether `why` answers for it."""
        return bool(self.formulas or self.holds)

    @property
    def name(self) -> str:
        """Its own name in its table."""
        return self.kind.rsplit(".", 1)[-1]

    def ways(self, piece: Piece) -> list[tuple[str, tuple[int, ...]]]:
        """The ways of all its numbers, each with its index."""
        return [(self.way(piece, *index), index) for index in self.indices(piece)]

    def indices(self, piece: Piece) -> list[tuple[int, ...]]:
        """One for each number of this kind in a piece."""
        return [(i,) for i in range(self.level.size(piece))] if self.level.size else [()]

    def way(self, piece: Piece, *index: int) -> str:
        """How one number of this kind is asked for."""
        if not index or self.level.label is None:
            return self.kind
        return self.kind.replace("*", self.level.label(piece, index[0]), 1)


LEVELS: dict[str, Level] = {}
FACTS: dict[str, Fact] = {}


def level(
    path: str,
    *,
    whom: str,
    says: str,
    size: Callable[[Piece], int] | None = None,
    label: Callable[[Piece, int], str] | None = None,
) -> Level:
    """Declare a list (with `size` and `label`) or a table of facts."""
    LEVELS[path] = Level(path=path, whom=whom, says=says, size=size, label=label)
    return LEVELS[path]


def fact(
    kind: str,
    unit: str = "",
    form: str = "number>=0",
    *,
    formula: str | Mapping[str, str] = "",
    holds: str = "",
    source: str = "definition",
    says: str = "",
    digits: int | None = 6,
    whom: str = "",
) -> Callable[[Callable[..., Answer]], Callable[..., Answer]]:
    """Declare a fact: the function below gives it, its docstring is the rule."""
    there = LEVELS[kind.rsplit(".", 1)[0].removesuffix(".*")]

    def declared(of: Callable[..., Answer]) -> Callable[..., Answer]:
        FACTS[kind] = Fact(
            kind=kind,
            level=there,
            unit=unit,
            form=form,
            rule=" ".join((of.__doc__ or "").split()),
            says=says,
            formulas={"": formula} if isinstance(formula, str) and formula else dict(formula or {}),
            holds=holds,
            source=source,
            digits=digits,
            whom=whom or there.whom,
            of=of,
        )
        return of

    return declared


def ranged(
    kind: str,
    unit: str = "",
    form: str = "number>=0",
    *,
    low: str,
    high: str,
    formula: Mapping[str, str],
    **rest: Any,
) -> Callable[[Callable[..., Answer]], Callable[..., Answer]]:
    """Declare a fact with its range: the function is told which `end`, "", "_low" or "_high"."""
    cases = [case for case in formula if not case.endswith(("_low", "_high"))]

    def declared(of: Callable[..., Answer]) -> Callable[..., Answer]:
        for end, rule in (("", of.__doc__ or ""), ("_low", low), ("_high", high)):
            part = partial(of, end=end)
            part.__doc__ = rule
            mine = {case: formula.get(f"{case}{end}", formula[case]) for case in cases}
            fact(f"{kind}{end}", unit, form, formula=mine, **rest)(part)
        return of

    return declared


def other(piece: Piece, kinds: str, *index: int, name: str = "") -> Inputs:
    """Other facts as what is put in: each can be asked for in its turn."""
    put = {}
    for kind in kinds.split():
        found = FACTS[kind]
        value = found.of(piece, *index).value
        put[name or found.name] = Put(value, found.unit, ways=(found.way(piece, *index),))
    return put


def each(piece: Piece, kind: str, *, name: str = "", only: Sequence[int] | None = None) -> Inputs:
    """All facts of a kind, or only some, as one list: so a total goes down to its parts."""
    found = FACTS[kind]
    indices = found.indices(piece) if only is None else [(i,) for i in only]
    label, one = found.level.label, found.level.one
    labels = tuple(label(piece, *index) if label else "" for index in indices)
    return {
        name or found.name: Put(
            [found.of(piece, *index).value for index in indices],
            found.unit,
            ways=tuple(found.way(piece, *index) for index in indices),
            labels=tuple(f"{one} {text}" if text.isdigit() else text for text in labels),
        )
    }


UNITS = {
    "_n_per_tex": "N/tex", "_n_per_mm": "N/mm", "_mm2": "mm²", "_mm": "mm", "_cm3": "cm³",
    "_n": "N", "_g": "g", "_rad": "rad", "_min": "min"
}  # fmt: skip
_PER_KIND = {"percent": "%", "lengths": "mm", "money": MONEY}


def of(record: object, fields: str) -> Inputs:
    """Fields of a record by their names; for a table of the draft hers or default, and the line."""
    put = {}
    for field in fields.split():
        value = getattr(record, field)
        end = next((end for end in UNITS if field.endswith(end)), "")
        unit = UNITS.get(end) or _PER_KIND.get(_plain_kind(record, field), "")
        name = key_name(field) if isinstance(record, DraftTable) else field.removesuffix(end)
        shown = f"{value.label} mm" if isinstance(value, Rod) else value
        put[name] = Put(shown, unit, *_given(record, field, value))
    return put


def _given(record: object, field: str, value: object) -> tuple[bool, tuple[Where, ...]]:
    """Whether a value is a default, and where hers stands."""
    if not isinstance(record, DraftTable):
        return False, ()
    own, unsaid = field in record.given, value is None or value == ()
    lines = (record.given[field],) if own else ()
    return bool(_kind(record, field)) and not own and not unsaid, lines


def _plain_kind(record: object, field: str) -> str:
    """Its kind without limits: `percent` of `percent<=100`."""
    said = _kind(record, field)
    return kind_of(said).plain.split("-")[0] if said else ""


def _kind(record: object, field: str) -> str:
    """How a key is declared; nothing for what is no key."""
    if not isinstance(record, DraftTable):
        return ""
    return str(record.__dataclass_fields__[field].metadata.get("kind", ""))

"""How is a key of the draft declared?

Each table of the draft is a frozen dataclass whose fields are declared with `key`: the kind of
value says how the text is read, the default what stands when she says nothing, `says` what the
documentation prints. The reader, the reference page and the "did you mean" all lean on this.
A field's name ends in its unit (`_mm`, `_n`, `_g`, `_rad`, `_min`); the key in the text does not.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType
from typing import Any, NamedTuple

from crossfell.base.notes import NOWHERE, Where

REQUIRED: Any = dataclasses.MISSING
_NOTHING: Mapping[str, Where] = MappingProxyType({})
_KIND = re.compile(
    r"(?P<plain>[a-z-]+)(?:>(?P<least>[\d.]+))?(?:<=(?P<most>[\d.]+))?(?::(?P<rest>.*))?", re.DOTALL
)
UNIT_SUFFIXES = ("_mm", "_n", "_g", "_rad", "_min", "_n_per_tex", "_n_per_mm", "_h", "_text")


def key(default: Any, kind: str, says: str, *, source: str = "") -> Any:
    """Declare a key: its default, its kind (see `reader`), what it means, the default's source.

    Kinds: text, count (whole number >= 0), number, yes (true or false), length, mass, force,
    angle (degrees in the text), percent (`5 %`, 5 or 0.05), money (`46.00 per kg` or a
    bare number), minutes (`30 min`, `2 h`), yarn-count, colour, rod, one-of:a|b, lengths
    (a list), length-or:a|b, lengths-or:a, texts (a list), weights (a list of `250 g * 30`), wall,
    any. Limits follow the kind, in inside units (angles in degrees): `length>0`, `number>0<=5`.
    """
    metadata = {"kind": kind, "says": says, "source": source}
    if default is REQUIRED:
        return dataclasses.field(metadata=metadata)
    if isinstance(default, (dict, list)):
        raise TypeError("a default is immutable")
    return dataclasses.field(default=default, metadata=metadata)


class ValueKind(NamedTuple):
    """A kind of value with its limits: more than `least` (None: none), at most `most`."""

    plain: str
    least: float | None
    most: float
    rest: str


@cache
def kind_of(kind: str) -> ValueKind:
    """A kind as a key declares it, taken apart."""
    found = _KIND.fullmatch(kind)
    assert found, kind
    least = float(found["least"]) if found["least"] else None
    return ValueKind(found["plain"], least, float(found["most"] or "inf"), found["rest"] or "")


@cache
def key_name(field_name: str) -> str:
    """Name of a field as it stands in the text: `heddle_to_back_mm` is `heddle_to_back`."""
    for suffix in sorted(UNIT_SUFFIXES, key=len, reverse=True):
        if field_name.endswith(suffix):
            return field_name.removesuffix(suffix)
    return field_name


@dataclass(frozen=True, kw_only=True)
class DraftTable:
    """What every table of the draft keeps beside its keys."""

    where: Where = NOWHERE
    given: Mapping[str, Where] = field(default_factory=lambda: _NOTHING)


def choices_of(kind: str) -> list[str]:
    """What can be written for a kind of key, where it is one of a few words."""
    said = kind_of(kind)
    if said.plain == "one-of":
        return said.rest.split("|")
    return ["true", "false"] if said.plain == "yes" else []

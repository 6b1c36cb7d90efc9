"""How do some units get another yarn, when others of their kind keep theirs?

A kind whose units all change has its ends rewritten. Otherwise the units become of another kind,
one that is there already or a new one, and the order of the warp names it in their places; its
layout stays. A new colour is a new yarn, like the old one in all that a colour does not change.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterator, Mapping
from itertools import groupby
from string import ascii_lowercase
from typing import Any

from crossfell.draft.edit_keys import add_table, set_key
from crossfell.draft.kinds import RESERVED
from crossfell.draft.script import NotEditable, Script, opened
from crossfell.draft.warping import UNITS

OF_ONE_LOT = ("lot", "in_stock")  # keys that a new colour does not share
_TOKEN = re.compile(r"\S+")
Kinds = Mapping[str, Mapping[str, Any]]


def yarn_of_units(
    text: str, units: Collection[str], old: str, new: str, *, workshop: str = ""
) -> str:
    """Give these units (`a3` is the third `a` from the left) yarn `new` where they have `old`.

    Errors: NotEditable when none of them has it, or the draft has no order to be changed.
    """
    order = _order(opened(text))
    kinds = tables(text, workshop, "unit")
    asked = Counter(kind for name, kind in named(order) if name in units)
    there = Counter(kind for _, kind in named(order))
    becomes: dict[str, str] = {}
    for kind, count in asked.items():
        ends = _replaced(str(kinds.get(kind, {}).get("ends", "")), old, new)
        if ends is None:
            continue
        if count == there[kind]:
            text = set_key(text, f'unit."{kind}".ends', ends)
            becomes[kind] = kind
        else:
            text, becomes[kind] = _other_kind(text, kinds, kind, ends)
            kinds = tables(text, workshop, "unit")
    if not becomes:
        raise NotEditable(f"none of these units has {old}")
    after = _reordered(order, units, becomes)
    return text if after == order else set_key(text, "warp.order", after)


def yarn_like(text: str, like: str, colour: str, name: str = "", *, workshop: str = "") -> str:
    """Add a yarn as another one is, in a new colour; without a name it gets the next free one.

    Errors: NotEditable.
    """
    yarns = tables(text, workshop, "yarn")
    if like not in yarns:
        raise NotEditable(f"there is no yarn {like}")
    keys = {key: value for key, value in yarns[like].items() if key not in OF_ONE_LOT}
    return add_table(text, "yarn", name or next_name(yarns, like), keys | {"colour": colour})


def next_name(yarns: Collection[str], like: str) -> str:
    """The next free name after a yarn's: slate-2, then slate-3."""
    stem = re.sub(r"-\d+$", "", like)
    return next(name for k in range(2, 10_000) if (name := f"{stem}-{k}") not in yarns)


def tables(text: str, workshop: str, family: str) -> dict[str, dict[str, Any]]:
    """Tables of a family by name, a key of the draft's before one of the workshop's."""
    found: dict[str, dict[str, Any]] = {}
    for script in (opened(text), opened(workshop)):
        there = script.at((family,))
        for name, table in (there if isinstance(there, dict) else {}).items():
            if isinstance(table, dict):
                found[name] = dict(table) | found.get(name, {})
    return found


def named(order: str) -> Iterator[tuple[str, str]]:
    """Name and kind of each unit of an order, from the left."""
    counted: Counter[str] = Counter()
    for token in order.split():
        for kind in _kinds(token):
            counted[kind] += 1
            yield f"{kind}{counted[kind]}", kind


def _kinds(token: str) -> list[str]:
    """The kind of each unit that a word of the order lines up."""
    found = UNITS.fullmatch(token)
    if found is None or found["name"] == "-":
        return []
    return [found["name"]] * min(int(found["count"] or 1), 10_000)


def _order(script: Script) -> str:
    order = script.at(("warp", "order"))
    if not isinstance(order, str):
        raise NotEditable("the draft has no order of units")
    return order


def _replaced(ends: str, old: str, new: str) -> str | None:
    """Ends with one yarn for another; None where they do not have it."""
    after, count = re.subn(rf"(?<![\w'-]){re.escape(old)}(?![\w'-])", new, ends)
    return after if count else None


def _other_kind(text: str, kinds: Kinds, kind: str, ends: str) -> tuple[str, str]:
    """A kind with these ends on the same strip: one that is there, or a new one."""
    wanted = {**kinds[kind], "ends": ends}
    for name, table in kinds.items():
        if table.get("strip") == wanted.get("strip") and _runs(table.get("ends")) == _runs(ends):
            return text, name
    return add_table(text, "unit", name := _free(kinds, kind), wanted), name


def _runs(ends: object) -> list[list[str]]:
    return [run.split() for run in str(ends).split(",")]


def _free(kinds: Kinds, kind: str) -> str:
    """A name that no kind has: the next letters first."""
    start = ascii_lowercase.find(kind[:1]) + 1
    letters = ascii_lowercase[start:] + ascii_lowercase[:start]
    names = (*letters, *(f"{kind}{letter}" for letter in letters))
    free = (name for name in names if name not in kinds and name not in RESERVED)
    found: str | None = next(free, None)
    if found is None:
        raise NotEditable("there are too many kinds of units to name another")
    return found


def _reordered(order: str, units: Collection[str], becomes: Mapping[str, str]) -> str:
    """The order with these units of their new kinds; words that stay are left as they are."""
    names = named(order)

    def word(found: re.Match[str]) -> str:
        kinds = _kinds(found[0])
        after = [
            becomes.get(kind, kind) if name in units else kind
            for kind, (name, _) in zip(kinds, names, strict=False)
        ]
        if after == kinds:
            return str(found[0])
        runs = ((kind, len(list(run))) for kind, run in groupby(after))
        return " ".join(kind if n == 1 else f"{kind}*{n}" for kind, n in runs)

    return _TOKEN.sub(word, order)

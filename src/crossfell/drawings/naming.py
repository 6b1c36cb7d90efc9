"""What are units called in pictures, where room is short and every letter must have a shape?

`a3` stays `a3`. A kind with letters that no shipped font has is called by a capital letter; where
letters must be large, long kinds are called by as many letters as tell them apart. Papers that do
so carry the key.
"""

from __future__ import annotations

from collections.abc import Mapping
from string import ascii_uppercase

from crossfell.draft.model import Draft
from crossfell.drawings.glyphs import missing
from crossfell.drawings.lettering import width_em


def picture_names(draft: Draft) -> tuple[str, ...]:
    """What each unit is called in a picture: its name, unless a letter of it has no shape."""
    if not any(missing(kind) for kind in draft.kinds):
        return tuple(unit.name for unit in draft.units)
    plain = {kind: kind for kind in draft.kinds if not missing(kind)}
    return _called(draft, _lettered(draft, plain))


def short_names(draft: Draft, most_em: float) -> tuple[str, ...]:
    """The same where a name has room for `most_em` ems: if one is longer, all are shortened."""
    names = picture_names(draft)
    if max((width_em(name, bold=True) for name in names), default=0.0) <= most_em:
        return names
    kinds = [kind for kind in draft.kinds if not missing(kind)]
    return _called(draft, _lettered(draft, {kind: _shortest(kind, kinds) for kind in kinds}))


def key_of(draft: Draft, names: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
    """Kinds that are called otherwise: what they are called, and their name."""
    pairs = {}
    for unit, name in zip(draft.units, names, strict=True):
        if name != unit.name:
            pairs[unit.kind] = name.removesuffix(str(unit.number))
    return tuple((short, kind) for kind, short in pairs.items())


def _called(draft: Draft, kinds: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(f"{kinds[u.kind]}{u.number}" for u in draft.units)


def _shortest(kind: str, kinds: list[str]) -> str:
    """The fewest first letters that no other kind begins with, not ending in a number."""
    others = [other for other in kinds if other != kind]
    for end in range(1, len(kind)):
        part = kind[:end]
        if not part[-1].isdigit() and not any(other.startswith(part) for other in others):
            return part
    return kind


def _lettered(draft: Draft, called: dict[str, str]) -> dict[str, str]:
    """Capital letters that begin no other name, for the kinds that are not called anything yet."""
    taken = {name[0] for name in called.values()}
    free = [letter for letter in ascii_uppercase if letter not in taken]
    left = [kind for kind in draft.kinds if kind not in called]
    letters = [free[i % len(free)] * (1 + i // len(free)) for i in range(len(left))]
    return called | dict(zip(left, letters, strict=True))

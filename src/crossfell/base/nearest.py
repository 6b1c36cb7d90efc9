"""Which of the names that are there may be meant?"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from difflib import SequenceMatcher

_ALIKE = 0.6  # share of letters in the same order; below it a guess is a nuisance
_MANY = 12  # names listed when nothing is near


def nearest(name: str, there: Iterable[str]) -> str | None:
    """The name that is most like a misspelt one; None when none is.

    Capitals, accents and `_` for `-` do not count. Checked: tests/base/test_nearest.py.
    """
    plain = _plain(name)
    scored = [(_likeness(plain, _plain(other)), -k, other) for k, other in enumerate(there)]
    if not scored:
        return None
    best, _, other = max(scored)
    return other if best >= _ALIKE and other != name else None


def help_for(
    name: str, there: Iterable[str], otherwise: str = "there are: {names}"
) -> dict[str, str]:
    """Facts for a note: `help` is told, `right` is the name that is near, if one is."""
    known = list(there)
    return {"help": meant(name, known, otherwise), "right": nearest(name, known) or ""}


def meant(name: str, there: Iterable[str], otherwise: str = "there are: {names}") -> str:
    """`did you mean …?` when a name is near, else what there is."""
    known = list(there)
    if near := nearest(name, known):
        return f"did you mean `{near}`?"
    return otherwise.format(names=listed(known))


def listed(names: Iterable[str]) -> str:
    """Names in a row, not endlessly; `none` when there are none."""
    known = list(names)
    more = f" and {len(known) - _MANY} more" if len(known) > _MANY else ""
    return (", ".join(known[:_MANY]) + more) or "none"


def _likeness(name: str, other: str) -> float:
    """From 0 to 1; two letters exchanged, or one name within the other, count for more."""
    if sorted(name) == sorted(other) and len(name) > 1:
        return 0.95
    if len(name) > 2 and (other.startswith(name) or (name.startswith(other) and len(other) > 2)):
        return 0.9
    return SequenceMatcher(None, name, other, autojunk=False).ratio()


def _plain(name: str) -> str:
    apart = unicodedata.normalize("NFKD", name.casefold().replace("_", "-"))
    return "".join(letter for letter in apart if not unicodedata.combining(letter))

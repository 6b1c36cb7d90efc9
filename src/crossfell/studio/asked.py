"""What does a call say, once looked at: is a word a word, a number a number?

What comes from a browser is never trusted; what makes no sense is refused with a sentence.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from crossfell.drawings.views import SAYS
from crossfell.studio.folder import Refused
from crossfell.studio.pointing import Selection
from crossfell.studio.sheets import Seen

Asked = Mapping[str, Any]
STYLES = ("full", "line")
MOST_WHOLE = 1_000_000_000
MOST_KEYS = 1000


def word(asked: Asked, key: str) -> str:
    """A short text. Errors: Refused."""
    value = asked.get(key, "")
    if not isinstance(value, str) or len(value) > 400:
        raise Refused(f"`{key}` is a short text")
    return value


def whole(asked: Asked, key: str) -> int:
    """A whole number. Errors: Refused."""
    value = asked.get(key)
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) > MOST_WHOLE:
        raise Refused(f"`{key}` is a whole number")
    return value


def real(asked: Asked, key: str) -> float:
    """A number. Errors: Refused."""
    value = asked.get(key)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or abs(value) > 1e9:
        raise Refused(f"`{key}` is a number")
    return float(value)


def table(asked: Asked, key: str) -> Asked:
    """An edit, as a table. Errors: Refused."""
    value = asked.get(key)
    if not isinstance(value, dict):
        raise Refused(f"`{key}` is an edit")
    return value


def selection(asked: Asked) -> Selection:
    """Places in spans. Errors: Refused."""
    span = whole(asked, "span")
    span_to = whole(asked, "span_to") if asked.get("span_to") is not None else span
    return Selection(span, whole(asked, "first"), whole(asked, "last"), span_to)


def view(asked: Asked) -> str:
    """The name of a view. Errors: Refused."""
    view = str(asked.get("view") or "front")
    if view not in SAYS:
        raise Refused(f"a view is one of: {', '.join(SAYS)}")
    return view


def style(asked: Asked) -> str:
    """The name of a style. Errors: Refused."""
    style = str(asked.get("style") or "full")
    if style not in STYLES:
        raise Refused(f"a style is one of: {', '.join(STYLES)}")
    return style


def seen(asked: Asked) -> Seen | None:
    """What a window sees and has; None when it does not say. Errors: Refused."""
    said = asked.get("seen")
    if said is None:
        return None
    said = table(asked, "seen")
    have = said.get("have") or []
    if not isinstance(have, list) or len(have) > MOST_KEYS:
        raise Refused("`have` is a list of keys")
    keys = frozenset(key for key in have if isinstance(key, str))
    low, high, known = real(said, "from"), real(said, "to"), max(0, whole(said, "known"))
    return Seen(low, high, keys, word(said, "set"), known, word(said, "waits"))

"""How does a yarn, a strip, a unit or a figure get another name, everywhere in the draft?"""

from __future__ import annotations

import re
from collections.abc import Iterator

from crossfell.draft.edit_moves import is_moves, listed_at
from crossfell.draft.edit_runs import checked_name
from crossfell.draft.moves import parsed
from crossfell.draft.script import (
    NotEditable,
    Script,
    Splice,
    as_key,
    comment_kept,
    opened,
    spliced,
)
from crossfell.draft.whereabouts import Way

FAMILIES = ("yarn", "strip", "unit", "figure")

_WORD = re.compile(r"[\w'-]+")
_UNIT = re.compile(r"[^\W\d][\w']*(?=\*|\s|$)")


def rename(text: str, family: str, old: str, new: str) -> str:
    """Give a yarn, strip, unit or figure another name, in its table and wherever it is named.

    Errors: NotEditable when the draft does not have it (it can stand in the workshop's file), or
    the new name is taken or cannot be one.
    """
    script = opened(text)
    if family not in FAMILIES:
        raise NotEditable(f"names are those of {', '.join(FAMILIES)}")
    if script.at((family, old)) is None:
        raise NotEditable(f"there is no {family} {old} in this draft")
    if old == new:
        return text
    checked_name(script, family, new)
    splices = _headings(script, (family, old), new)
    for way in script.places.ways():
        if family == "figure" and is_moves(way):
            splices += _in_moves(script, way, old, new)
        elif _names(family, way):
            splices += _in_text(script, way, family, old, new)
    return spliced(script, splices)


def _headings(script: Script, way: Way, new: str) -> list[Splice]:
    """The name where its table is written, each remark behind it in its column."""
    name, splices = as_key(new), list[Splice]()
    for written, (start, end) in script.places.names:
        if written == way:
            splices.append((start, end, name))
            heads = [stop for _, (first, stop) in script.places.headers if first <= start < stop]
            splices += comment_kept(script, heads[0] if heads else end, len(name) - (end - start))
    return splices


def _names(family: str, way: Way) -> bool:
    """Whether the value at a way names one of this family."""
    match way:
        case ("unit", _, "ends") | ("band", "weft") | ("band", _, "weft"):
            return family == "yarn"
        case ("span", _, "band", "weft"):
            return family == "yarn"
        case ("unit", _, "strip"):
            return family == "strip"
        case ("warp", "order"):
            return family == "unit"
        case _:
            return False


def _in_text(script: Script, way: Way, family: str, old: str, new: str) -> Iterator[Splice]:
    start, end = script.places.extent(*way) or (0, 0)
    words = _UNIT if family == "unit" else _WORD
    inside = script.text[start:end].strip("\"'")
    start = script.text.index(inside, start)
    found = [word for word in words.finditer(inside) if word.group() == old]
    for word in found:
        yield (start + word.start(), start + word.end(), new)
    yield from comment_kept(script, end, len(found) * (len(new) - len(old)))


def _in_moves(script: Script, way: Way, old: str, new: str) -> Iterator[Splice]:
    listed = listed_at(script, way)
    for item in listed.items if listed else ():
        read = parsed(item.text)
        step = read[0] if isinstance(read, tuple) and read else None
        if step and step.figure == old:
            yield (item.start, item.start + len(old), new)

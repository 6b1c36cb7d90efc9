"""What stands where in a text that is to be changed?

An edit is a list of splices: start, end and the new text. Whatever no splice touches stays as it
is, letter by letter. See docs/decisions/0005-edits-are-splices.md.
"""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from crossfell.draft.parts import values_of
from crossfell.draft.reader import MOST_LETTERS
from crossfell.draft.whereabouts import Way, Whereabouts

Splice = tuple[int, int, str]

_PART = re.compile(r"\s*(?:\"(?P<quoted>[^\"]*)\"|(?P<bare>[^.\"]+?))\s*(?:\.|$)")
_GAP = re.compile(r"([ \t]+)#")


class NotEditable(ValueError):  # noqa: N818 -- it is what the text is
    """The text cannot be changed in this way; the sentence says why, for the maker."""


@dataclass(frozen=True, slots=True)
class Script:
    """A text as it stands: its values, their places, its line ends."""

    text: str
    data: Mapping[str, Any]
    places: Whereabouts
    newline: str

    def at(self, way: Way) -> Any:
        """The value at a way; None when nothing is there."""
        here: Any = self.data
        for part in way:
            if isinstance(part, int):
                inside = isinstance(here, list) and part < len(here)
            else:
                inside = isinstance(here, Mapping) and part in here
            if not inside:
                return None
            here = here[part]
        return here

    def line_start(self, position: int) -> int:
        """Where the line of a character begins."""
        return self.text.rfind("\n", 0, position) + 1

    def line_end(self, position: int) -> int:
        """Where the line of a character ends, before its line end."""
        end = self.text.find("\n", position)
        end = len(self.text) if end < 0 else end
        return end - 1 if end > position and self.text[end - 1] == "\r" else end

    def next_line(self, position: int) -> int:
        """Where the line after the one of a character begins."""
        end = self.text.find("\n", position)
        return len(self.text) if end < 0 else end + 1


def opened(text: str) -> Script:
    """Look at a text that is to be changed. Errors: NotEditable when it cannot be read."""
    if len(text) > MOST_LETTERS:
        raise NotEditable(f"the draft is too large: the most is {MOST_LETTERS} letters")
    try:
        data = values_of(text)
    except (ValueError, RecursionError) as problem:
        raise NotEditable(f"the draft cannot be read: {problem}") from problem
    return Script(text, data, Whereabouts(text), "\r\n" if "\r\n" in text else "\n")


def spliced(script: Script, splices: Iterable[Splice]) -> str:
    """The text with its splices made. Errors: NotEditable when it could not be read any more."""
    out, last = [], 0
    for start, end, new in sorted(splices):
        out += [script.text[last:start], new]
        last = end
    text = "".join((*out, script.text[last:]))
    try:
        values_of(text)
    except tomllib.TOMLDecodeError as problem:
        raise NotEditable(f"the draft could not be read after this: {problem}") from problem
    return text


def comment_kept(script: Script, after: int, growth: int) -> list[Splice]:
    """Keep the remark at the end of a line in its column when what stands before it grows."""
    gap = _GAP.match(script.text, after)
    if gap is None or len(gap[1]) < 2 or not growth:
        return []
    return [(after, after + len(gap[1]), " " * max(len(gap[1]) - growth, 2))]


def way_of(script: Script, path: str) -> Way:
    """The way of a dotted path such as `span.3.height`; what is listed counts from 1.

    Errors: NotEditable when it is no path, or counts beyond its list.
    """
    way: list[str | int] = []
    position = 0
    while position < len(path):
        found = _PART.match(path, position)
        if found is None:
            raise NotEditable(f"`{path}` is no path of keys with points between them")
        position = found.end()
        name = found["quoted"] if found["quoted"] is not None else found["bare"]
        row = script.at(tuple(way))
        if isinstance(row, list):
            if not name.isdecimal() or not 1 <= int(name) <= len(row):
                called = ".".join(map(str, way))
                raise NotEditable(f"`{called}` has 1 to {len(row)}, but no {name}")
            way.append(int(name) - 1)
        else:
            way.append(name)
    if not way:
        raise NotEditable("no key is named")
    return tuple(way)


def as_toml(value: object) -> str:
    """A value as it is written in a draft; inside texts of several lines stay so."""
    import tomlkit

    if isinstance(value, float):
        if not math.isfinite(value):
            raise NotEditable("this is not a number")
        value = int(value) if value.is_integer() else value
    if isinstance(value, str) and "\n" in value:
        quoted = tomlkit.string(value, multiline=True).as_string()
        return quoted if value.startswith("\n") else f'"""\n{quoted[3:]}'
    if isinstance(value, dict):
        inside = ", ".join(f"{as_key(name)} = {as_toml(item)}" for name, item in value.items())
        return f"{{ {inside} }}"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(as_toml, value))}]"
    if not isinstance(value, (bool, int, float, str)):
        raise NotEditable("a value is text, a number, true or false, or a list of them")
    return tomlkit.item(value).as_string()


def as_key(name: str) -> str:
    """A name as it is written before `=` and in headers."""
    import tomlkit

    return tomlkit.key(name).as_string()

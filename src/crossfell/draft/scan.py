"""Where does each key and each value of a text stand, in characters from its beginning?

The standard reader gives values without places. This scanner walks a text that has already been
read as valid TOML (v1.0.0, https://toml.io) once more.
"""

from __future__ import annotations

import re
import tomllib

Way = tuple[str | int, ...]
Extent = tuple[int, int]  # start and end, in characters from 0

_SPACE = re.compile(r"(?:[ \t\r\n\ufeff]|#[^\n]*)*")
_BLANK = re.compile(r"[ \t]*")
_KEY = re.compile(r"[A-Za-z0-9_-]+|\"(?:[^\"\\\n]|\\.)*\"|'[^'\n]*'")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"""(?:"{0,2})|\'\'\'.*?\'\'\'(?:\'{0,2})|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'',
    re.DOTALL,
)
_PLAIN = re.compile(r"[^,\]}#\n]*")


class Scan:
    """Extents of a text, in its order."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._counts: dict[Way, int] = {}
        self.keys: dict[Way, Extent] = {}
        self.values: dict[Way, Extent] = {}
        self.headers: list[tuple[Way, Extent]] = []
        self.names: list[tuple[Way, Extent]] = []  # every part of every key: the way that it ends
        self._scan()

    def _scan(self) -> None:
        text, position = self._text, 0
        table: Way = ()
        while True:
            position = self._skip(_SPACE, position)
            if position >= len(text):
                return
            if text[position] == "[":
                position, table = self._header(position)
            else:
                position = self._pair(position, table)

    def _header(self, start: int) -> tuple[int, Way]:
        double = self._text.startswith("[[", start)
        way, parts, position = self._dotted(self._skip(_BLANK, start + (2 if double else 1)))
        position = self._text.find("]", position) + (2 if double else 1)
        full = self._through_lists(way, double=double)
        self.keys.setdefault(full, (start, position))
        self.headers.append((full, (start, position)))
        self._name((), way, parts)
        return position, full

    def _through_lists(self, way: Way, *, double: bool) -> Way:
        full: Way = ()
        for part in way[:-1]:
            full = (*full, part)
            if full in self._counts:
                full = (*full, self._counts[full] - 1)
        full = (*full, way[-1])
        if double:
            self._counts[full] = self._counts.get(full, 0) + 1
        if full in self._counts:
            full = (*full, self._counts[full] - 1)
        return full

    def _pair(self, start: int, table: Way) -> int:
        way, parts, position = self._dotted(start)
        full = (*table, *way)
        self.keys[full] = (start, position)
        self._name(table, way, parts)
        equals = self._text.find("=", position)
        if equals < 0:
            return len(self._text)
        return self._value(self._skip(_BLANK, equals + 1), full)

    def _value(self, start: int, way: Way) -> int:
        text = self._text
        first = text[start : start + 1]
        if first == "[":
            end = self._list(start, way)
        elif first == "{":
            end = self._inline(start, way)
        elif found := _STRING.match(text, start):
            end = found.end()
        else:
            plain = _PLAIN.match(text, start)
            end = start + len(plain.group().rstrip()) if plain else start
            end = max(end, start + 1)
        self.values[way] = (start, end)
        return end

    def _list(self, start: int, way: Way) -> int:
        position, index = start + 1, 0
        while True:
            position = self._skip(_SPACE, position)
            if position >= len(self._text) or self._text[position] == "]":
                return position + 1
            if self._text[position] == ",":
                position += 1
                continue
            position = self._value(position, (*way, index))
            index += 1

    def _inline(self, start: int, way: Way) -> int:
        position = start + 1
        while True:
            position = self._skip(_SPACE, position)
            if position >= len(self._text) or self._text[position] == "}":
                return position + 1
            if self._text[position] == ",":
                position += 1
                continue
            position = self._pair(position, way)

    def _name(self, table: Way, way: Way, parts: list[Extent]) -> None:
        for count, part in enumerate(parts, 1):
            self.names.append(((*table, *way[:count]), part))

    def _dotted(self, start: int) -> tuple[Way, list[Extent], int]:
        names: list[str] = []
        parts: list[Extent] = []
        position = start
        while found := _KEY.match(self._text, position):
            names.append(_plain_name(found.group()))
            parts.append(found.span())
            position = found.end()
            dot = self._skip(_BLANK, position)
            if self._text[dot : dot + 1] != ".":
                break
            position = self._skip(_BLANK, dot + 1)
        return (tuple(names) or ("",)), parts, max(position, start + 1)

    def _skip(self, pattern: re.Pattern[str], position: int) -> int:
        found = pattern.match(self._text, position)
        return found.end() if found else position


def _plain_name(name: str) -> str:
    """A key without its quotes, and with its escapes read."""
    if "\\" in name and name[0] == '"':
        try:
            return next(iter(tomllib.loads(f"{name} = 0")))
        except tomllib.TOMLDecodeError:  # never in a text that was read: a name as it stands
            return name[1:-1]
    return name[1:-1] if name[0] in "\"'" else name

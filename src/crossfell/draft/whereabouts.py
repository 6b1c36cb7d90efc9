"""Where in the text does each key and each value stand?

For every way of keys and list positions: the place of the key and that of the value.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import accumulate

from crossfell.base.notes import NOWHERE, Where
from crossfell.draft.parts import parts_of
from crossfell.draft.scan import Extent, Scan, Way

_STEP = 2_000  # characters

__all__ = ["Extent", "Passage", "Way", "Whereabouts"]


@dataclass(frozen=True, slots=True)
class Passage:
    """A text as written, and where it begins."""

    text: str
    where: Where

    def lines(self) -> list[tuple[str, Where]]:
        """Its lines, each with its place."""
        file, line, column = self.where.file, self.where.line, self.where.column
        return [
            (
                row.rstrip("\r"),
                Where(file, line and line + k, 1 if k else column, len(row.rstrip())),
            )
            for k, row in enumerate(self.text.split("\n"))
        ]


class Whereabouts:
    """Places of keys and values of one text; ways that are not there give NOWHERE."""

    def __init__(self, text: str, file: str = "") -> None:
        self._text = text
        self._file = file
        counts = (text.count("\n", at, at + _STEP) for at in range(0, len(text), _STEP))
        self._lines = [0, *accumulate(counts)]  # before each step of the text
        self._keys: dict[Way, Extent] = {}
        self._values: dict[Way, Extent] = {}
        self.headers: list[tuple[Way, Extent]] = []  # in the order of the text
        self.names: list[tuple[Way, Extent]] = []  # every part of every key: the way that it ends
        parts = parts_of(text)
        if parts is None:
            self._add(Scan(text), lambda position: position)
            return
        self._add(parts.plain.scan, parts.place)
        for number, (start, _, part) in enumerate(parts.spans):
            self._add(part.scan, start.__add__, number)
        if parts.plain_at != ((0, 0),):
            self._sort()

    def _add(self, scan: Scan, place: Callable[[int], int], span: int = 0) -> None:
        """Take over what stands in a part; `place` tells where, `span` which one it is."""

        def extents(found: Iterable[tuple[Way, Extent]]) -> Iterator[tuple[Way, Extent]]:
            for way, (start, end) in found:
                whole = ("span", span, *way[2:]) if span and way[1:2] == (0,) else way
                yield whole, (place(start), place(end))

        self._keys.update(extents(scan.keys.items()))
        self._values.update(extents(scan.values.items()))
        self.headers += extents(scan.headers)
        self.names += extents(scan.names)

    def _sort(self) -> None:
        """Bring everything into the order of the text: what ends first comes first."""
        self._values = dict(sorted(self._values.items(), key=_end))
        self.headers.sort(key=_end)
        self.names.sort(key=_end)

    def key(self, *way: str | int) -> Where:
        """Where a key or a table's header stands."""
        return self._where(self._keys.get(way))

    def value(self, *way: str | int) -> Where:
        """Where a value stands; for a table its header."""
        return self._where(self._values.get(way) or self._keys.get(way))

    def extent(self, *way: str | int) -> Extent | None:
        """Start and end of a value; of a table written with a header, nothing."""
        return self._values.get(way)

    def written(self, *way: str | int) -> Extent | None:
        """Start and end of a key, or of a table's header, as written."""
        return self._keys.get(way)

    def ways(self) -> list[Way]:
        """The way of every value, in the order of the text."""
        return list(self._values)

    def passage(self, *way: str | int) -> Passage:
        """A string as written between its quotes."""
        found = self._values.get(way)
        if found is None:
            return Passage("", NOWHERE)
        start, end = found
        quotes = 3 if self._text[start : start + 3] in {'"""', "'''"} else 1
        raw = self._text[start + quotes : max(end - quotes, start + quotes)]
        return Passage(raw, self._where((start + quotes, end)))

    def lines(self, *way: str | int) -> list[tuple[str, Where]]:
        """Lines of a string as written between its quotes, each with its place."""
        return self.passage(*way).lines() if way in self._values else []

    def word(self, word: str, *way: str | int) -> Where:
        """Where a word stands in a text; the text itself when it is not written out there."""
        whole = re.compile(rf"(?<![\w'-]){re.escape(word)}(?![\w'-])")
        for text, where in self.lines(*way):
            if found := whole.search(text):
                return Where(where.file, where.line, where.column + found.start(), len(word))
        return self.value(*way)

    def at(self, offset: int, length: int = 1) -> Where:
        """Place of a character, counted from 0."""
        return self._where((offset, offset + length))

    def _where(self, found: Extent | None) -> Where:
        if found is None:
            return NOWHERE
        start, end = found
        step = start // _STEP
        line = self._lines[step] + self._text.count("\n", step * _STEP, start)
        begins = self._text.rfind("\n", 0, start) + 1
        shown = self._text[start:end].split("\n", 1)[0]
        return Where(self._file, line + 1, start - begins + 1, len(shown.rstrip()))


def _end(found: tuple[Way, Extent]) -> int:
    return found[1][1]

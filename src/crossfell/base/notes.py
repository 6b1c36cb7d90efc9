"""What is a note, and how does it read?

A mistake or a doubt about a draft is a value: a `Note` with a code, a severity, the place in the
draft that it points at and the facts that its sentence needs. The sentences stand in `prose.py`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from types import MappingProxyType

from crossfell.base.prose import PROSE


class Severity(Enum):
    """How much a note matters."""

    ERROR = "error"  # the piece cannot be made, or not be computed, as written
    DOUBT = "doubt"  # it can be made, but she will probably regret it
    ADVICE = "advice"  # worth knowing


# Signs that hide, or turn the direction of writing: nobody should read a message that lies.
_UNSEEN = re.compile("[\x00-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]")
_LONGEST_FACT = 300
_WIDEST = 110  # letters of the source line that are shown

_RANK = {Severity.ERROR: 0, Severity.DOUBT: 1, Severity.ADVICE: 2}


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a text: line and column count from 1, length in characters (0: the line)."""

    file: str = ""
    line: int = 0
    column: int = 0
    length: int = 0


NOWHERE = Where()


@dataclass(frozen=True, slots=True)
class Note:
    """One finding about a draft."""

    code: str
    severity: Severity
    where: Where = NOWHERE
    facts: Mapping[str, object] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def says(self) -> str:
        """What is wrong, in one line."""
        return self._told(PROSE[self.code].says)

    @property
    def known(self) -> str:
        """What is known about it, with numbers; can be empty."""
        return self._told(PROSE[self.code].known)

    @property
    def instead(self) -> str:
        """What to write or do instead; can be empty."""
        return self._told(PROSE[self.code].instead)

    @property
    def message(self) -> str:
        """The whole message in one paragraph, as facts and pictures carry it."""
        return "; ".join(part for part in (self.says, self.known, self.instead) if part)

    def _told(self, sentence: str) -> str:
        return sentence.format_map({name: _fact(value) for name, value in self.facts.items()})


def _fact(value: object) -> object:
    """A fact as it can be printed: no unseen signs, no endless text."""
    if not isinstance(value, str):
        return value
    cut = value if len(value) <= _LONGEST_FACT else value[: _LONGEST_FACT - 1] + "…"
    return seen(cut)


def seen(text: str) -> str:
    """Show every unseen or direction-turning sign as `�`, a tab as one blank."""
    return _UNSEEN.sub("\N{REPLACEMENT CHARACTER}", text.replace("\t", " "))


def error(code: str, where: Where = NOWHERE, **facts: object) -> Note:
    """Build an error."""
    return Note(code, Severity.ERROR, where, MappingProxyType(facts))


def doubt(code: str, where: Where = NOWHERE, **facts: object) -> Note:
    """Build a doubt."""
    return Note(code, Severity.DOUBT, where, MappingProxyType(facts))


def advice(code: str, where: Where = NOWHERE, **facts: object) -> Note:
    """Build an advice."""
    return Note(code, Severity.ADVICE, where, MappingProxyType(facts))


def pointed(notes: Iterable[Note], otherwise: Where) -> tuple[Note, ...]:
    """Notes that point at a line: those about a table that is not written point at another."""
    return tuple(n if n.where.line else replace(n, where=otherwise) for n in notes)


def most_serious_first(notes: Iterable[Note]) -> tuple[Note, ...]:
    """Sort notes by severity, then by place in the text; first cause first among equals."""
    return tuple(sorted(notes, key=lambda n: (_RANK[n.severity], n.where.line, n.where.column)))


def rendered(note: Note, source: str) -> str:
    """Write a note with its source line and a caret under what it points at.

    `source` is the text of the file that the note points at; a note without a line has no excerpt.
    """
    out = [f"{note.severity.value}[{note.code}]: {note.says}"]
    where = note.where
    gutter = " " * len(str(where.line)) if where.line else ""
    if where.line:
        out.append(f"{gutter}--> {seen(where.file)}:{where.line}:{where.column or 1}")
        lines = source.split("\n")
        if where.line <= len(lines):
            text, caret = _excerpt(lines[where.line - 1].rstrip("\r"), where)
            out += [f"{gutter} |", f"{where.line} | {text}".rstrip(), f"{gutter} | {caret}"]
    elif where.file:
        out.append(f"--> {seen(where.file)}")
    out += [f"{gutter} = {part}" for part in (note.known, note.instead) if part]
    return "\n".join(out)


def _excerpt(line: str, where: Where) -> tuple[str, str]:
    """The part of a line to show, and the carets under what is meant."""
    column = max(where.column - 1, 0)
    start = max(column - 40, 0) if len(line) > _WIDEST else 0
    shown = seen(line[start : start + _WIDEST])
    before = ("…" if start else "") + shown[: column - start]
    under = shown[column - start : column - start + where.length]
    text = ("…" if start else "") + shown + ("…" if start + _WIDEST < len(line) else "")
    return text, " " * _columns(before) + "^" * max(_columns(under), 1)


def _columns(text: str) -> int:
    """Columns that a text takes on a screen: wide letters two, joined accents none."""
    wide = sum(unicodedata.east_asian_width(letter) in "WF" for letter in text)
    joined = sum(unicodedata.combining(letter) > 0 for letter in text)
    return len(text) + wide - joined

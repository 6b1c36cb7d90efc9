"""What is a note, and how does it read?

A mistake or a doubt about a draft is a value: a `Note` with a code, a severity, the place in the
draft that it points at and the facts that its sentence needs. The sentences stand in `prose.py`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from types import MappingProxyType

from crossfell.base.prose import PROSE


class Severity(Enum):
    """How much a note matters."""

    ERROR = "error"  # the piece cannot be made, or not be computed, as written
    DOUBT = "doubt"  # it can be made, but she will probably regret it
    ADVICE = "advice"  # worth knowing


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
        return PROSE[self.code].says.format_map(self.facts)

    @property
    def known(self) -> str:
        """What is known about it, with numbers; can be empty."""
        return PROSE[self.code].known.format_map(self.facts)

    @property
    def instead(self) -> str:
        """What to write or do instead; can be empty."""
        return PROSE[self.code].instead.format_map(self.facts)

    @property
    def message(self) -> str:
        """The whole message in one paragraph, as facts and pictures carry it."""
        return "; ".join(part for part in (self.says, self.known, self.instead) if part)


def error(code: str, where: Where = NOWHERE, **facts: object) -> Note:
    """Build an error."""
    return Note(code, Severity.ERROR, where, MappingProxyType(facts))


def doubt(code: str, where: Where = NOWHERE, **facts: object) -> Note:
    """Build a doubt."""
    return Note(code, Severity.DOUBT, where, MappingProxyType(facts))


def advice(code: str, where: Where = NOWHERE, **facts: object) -> Note:
    """Build an advice."""
    return Note(code, Severity.ADVICE, where, MappingProxyType(facts))


def most_serious_first(notes: Iterable[Note]) -> tuple[Note, ...]:
    """Sort notes by severity, then by place in the text; first cause first among equals."""
    return tuple(sorted(notes, key=lambda n: (_RANK[n.severity], n.where.line, n.where.column)))


def rendered(note: Note, source: str) -> str:
    """Write a note with its source line and a caret under what it points at.

    `source` is the text of the file that the note points at; a note without a line has no excerpt.
    """
    head = f"{note.severity.value}[{note.code}]: {note.says}"
    lines = source.splitlines()
    where = note.where
    out = [head]
    if where.line:
        gutter = " " * len(str(where.line))
        out.append(f"{gutter}--> {where.file}:{where.line}:{where.column or 1}")
        if where.line <= len(lines):
            text = lines[where.line - 1].replace("\t", " ")
            shown = text if len(text) <= 120 else text[:117] + "..."
            caret = " " * max(where.column - 1, 0) + "^" * max(min(where.length, 120), 1)
            out += [f"{gutter} |", f"{where.line} | {shown}", f"{gutter} | {caret}"]
    else:
        gutter = ""
        if where.file:
            out.append(f"--> {where.file}")
    out += [f"{gutter} = {part}" for part in (note.known, note.instead) if part]
    return "\n".join(out)

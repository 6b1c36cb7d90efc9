"""How does a command say what it found, and how does it end?

Exit codes: 0 fine, 1 the draft has errors, 2 usage, 3 a file could not be read or written,
4 two drafts are not the same, 70 our own fault.
"""

from __future__ import annotations

import sys
from contextlib import contextmanager
from enum import IntEnum
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from crossfell.base.notes import Note
    from crossfell.draft.model import Draft
    from crossfell.piece import Piece


class Exit(IntEnum):
    """What the shell is told."""

    FINE = 0
    DRAFT_HAS_ERRORS = 1
    USAGE = 2
    FILE = 3
    THEY_PART = 4
    OUR_FAULT = 70


FILE = click.Path(dir_okay=False, path_type=Path)


def piece_of(file: Path) -> Piece:
    """The piece of a file, or the end when the file cannot be read."""
    from crossfell.draft.files import read_file
    from crossfell.piece import Piece

    try:
        return Piece(read_file(file))
    except OSError as problem:
        stop(Exit.FILE, f"{file} could not be read: {problem.strerror or problem}")


def sound(piece: Piece) -> Piece:
    """A piece without errors, or the end."""
    if verdict(piece.notes) is not Exit.FINE:
        tell(piece.draft, piece.notes)
        sys.exit(Exit.DRAFT_HAS_ERRORS)
    return piece


def changed(draft: Draft, changes: tuple[str, ...]) -> Piece:
    """The piece that a draft becomes with what-if changes, or the end."""
    from crossfell.draft.edit import NotEditable
    from crossfell.piece import Piece
    from crossfell.plan.whatif import with_changes

    try:
        return Piece(with_changes(draft, changes))
    except NotEditable as problem:
        stop(Exit.USAGE, str(problem))


def notes_of(piece: Piece) -> tuple[Note, ...]:
    """What the piece has to say, and what its papers cannot print."""
    from crossfell.papers.letters import letter_notes

    return (*piece.notes, *letter_notes(piece.draft))


@contextmanager
def progress(parts: Sequence[str]) -> Iterator[Callable[[str, str], None]]:
    """A bar over the parts, and what is being made; on a terminal only."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    order = [part for part in parts if part]
    columns = (BarColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("beginning …", total=len(order))

        def said(part: str, what: str) -> None:
            bar.update(task, description=f"{part}: {what}", completed=order.index(part))

        yield said


def tell(draft: Draft, notes: Sequence[Note]) -> None:
    """Print messages with their lines, most serious first, and how many there are."""
    from crossfell.base.notes import rendered

    for note in notes:
        click.echo(rendered(note, draft.text_of(note.where.file)) + "\n", err=True)
    counts = {kind: sum(n.severity.value == kind for n in notes) for kind in _KINDS}
    said = [f"{count} {_KINDS[kind][count != 1]}" for kind, count in counts.items() if count]
    title = draft.about.title
    click.echo(f"{title}: {', '.join(said) or 'nothing wrong, nothing doubtful'}", err=True)


_KINDS = {
    "error": ("error", "errors"),
    "doubt": ("doubt", "doubts"),
    "advice": ("piece of advice", "pieces of advice"),
}


def verdict(notes: Sequence[Note]) -> Exit:
    """The exit code for these messages."""
    bad = any(note.severity.value == "error" for note in notes)
    return Exit.DRAFT_HAS_ERRORS if bad else Exit.FINE


def stop(code: Exit, says: str) -> NoReturn:
    """End with a sentence."""
    click.echo(f"crossfell: {says}", err=True)
    sys.exit(code)

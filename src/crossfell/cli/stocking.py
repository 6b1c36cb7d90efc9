"""How is a change of the stock shown, written and taken back?"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from crossfell.cli.saying import Exit, stop

if TYPE_CHECKING:
    from crossfell.draft.model import Draft
    from crossfell.piece import Piece
    from crossfell.plan.stock_after import StockChange


def change(piece: Piece, how: str, words: tuple[str, ...], *, write: bool) -> None:
    """Show what a change does to workshop.toml, and write it when asked."""
    from crossfell.orders.stock_journal import journal_of, with_entry

    workshop = _workshop(piece.draft)
    found = _worked_out(piece, how, words)
    for line in (*found.says, *found.left_out):
        click.echo(line)
    if found.text == piece.draft.workshop_text:
        click.echo("Nothing changes.")
        return
    if not write:
        click.echo("Nothing is written yet: --write writes it.")
        return
    journal = journal_of(workshop)
    before = journal.read_text(encoding="utf-8") if journal.exists() else ""
    now = datetime.now().astimezone().isoformat(timespec="seconds")
    entry = with_entry(
        before, at=now, what=found.what, before=piece.draft.workshop_text, after=found.text
    )
    _write(journal, entry)
    _write(workshop, found.text)
    click.echo(
        f"{workshop} written; `crossfell stock {piece.draft.file} --back` undoes it", err=True
    )


def way_back(draft: Draft, *, write: bool) -> None:
    """Take the last change back."""
    from crossfell.orders.stock_journal import NoWayBack, journal_of, taken_back

    workshop = _workshop(draft)
    journal = journal_of(workshop)
    kept = journal.read_text(encoding="utf-8") if journal.exists() else ""
    try:
        rest, text, what = taken_back(kept, draft.workshop_text)
    except NoWayBack as problem:
        stop(Exit.USAGE, str(problem))
    if not write:
        click.echo(f"To take back: {what}. Nothing is written yet: --write writes it.")
        return
    _write(workshop, text)
    _write(journal, rest)
    click.echo(f"Taken back: {what}")


def _worked_out(piece: Piece, how: str, words: tuple[str, ...]) -> StockChange:
    from crossfell.base.quantities import NotAQuantity
    from crossfell.draft.edit import NotEditable
    from crossfell.draft.stock_text import item_of
    from crossfell.plan import stock_after

    try:
        if how == "reserve":
            return stock_after.reserved(piece.draft, piece.amounts)
        if how == "take":
            return stock_after.taken(piece.draft, piece.amounts)
        items = [item_of(word, piece.draft.measure) for word in words]
        does = stock_after.put_back if how == "put-back" else stock_after.counted
        return does(piece.draft, items)
    except (stock_after.StockRefused, NotAQuantity, NotEditable) as problem:
        stop(Exit.USAGE, str(problem))


def _workshop(draft: Draft) -> Path:
    if not draft.workshop_text:
        stop(Exit.USAGE, "there is no workshop.toml beside this draft that could keep the stock")
    return Path(draft.workshop_file)


def _write(file: Path, text: str) -> None:
    from crossfell.papers.make import write_whole

    try:
        write_whole(file, text.encode("utf-8"))
    except OSError as problem:
        stop(Exit.FILE, f"{file} could not be written: {problem.strerror}")

"""Which commands give out a quotation or an invoice?"""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import click

from crossfell.cli.saying import FILE, Exit, piece_of, sound, stop
from crossfell.cli.shell import main

if TYPE_CHECKING:
    from crossfell.orders.register import Given
    from crossfell.papers.model import Sheet
    from crossfell.piece import Piece

DAY = click.DateTime(["%Y-%m-%d"])


@main.command(short_help="Give out the client's quotation, with its number.")
@click.argument("file", type=FILE)
@click.option("--on", type=DAY, help="Day of the quotation, not today.")
@click.option("--write", is_flag=True, help="Give the number and write the PDF.")
def quotation(file: Path, on: datetime | None, *, write: bool) -> None:
    """Give out the client's quotation: one price, nothing of your calculation."""
    from crossfell.papers.quote_sheet import PaperNumber
    from crossfell.papers.quote_sheet import quotation as sheet_of

    piece = sound(piece_of(file))
    paper = _numbered(file, piece, "quotation", on, write=write)
    if write:
        until = datetime.fromisoformat(paper.day) + timedelta(days=piece.draft.rates.valid_days)
        number = PaperNumber(number=paper.number, day=paper.day, until=f"{until:%Y-%m-%d}")
        _set(file, piece, paper, sheet_of(piece, number))


@main.command(short_help="Give out the invoice, with its number.")
@click.argument("file", type=FILE)
@click.option("--on", type=DAY, help="Day of the invoice, not today.")
@click.option("--delivered", type=DAY, help="Day of delivery, if another.")
@click.option("--write", is_flag=True, help="Give the number and write the PDF.")
def invoice(file: Path, on: datetime | None, delivered: datetime | None, *, write: bool) -> None:
    """Give out the invoice: the agreed price and what is paid (`agreed`, `paid` in [piece]).

    A number is given once and for good; asked for again, the same paper is written again.
    """
    from crossfell.papers.quote_sheet import PaperNumber
    from crossfell.papers.quote_sheet import invoice as sheet_of

    piece = sound(piece_of(file))
    paper = _numbered(file, piece, "invoice", on, write=write)
    if write:
        day = f"{delivered:%Y-%m-%d}" if delivered else paper.day
        number = PaperNumber(number=paper.number, day=paper.day, delivered=day)
        _set(file, piece, paper, sheet_of(piece, number))


def _numbered(file: Path, piece: Piece, kind: str, on: datetime | None, *, write: bool) -> Given:
    """The number that the paper has or gets, told; given out when it is written."""
    from crossfell.orders.register import REGISTER, NotRegistered, given
    from crossfell.plan.quote import agreed_of

    quote = piece.quote()
    agreed = agreed_of(piece.draft, quote)
    if agreed is None:
        stop(Exit.USAGE, "the price is open: give the missing prices, or `agreed` in [piece]")
    draft = piece.draft
    beside = Path(draft.workshop_file) if draft.workshop_text else file
    day = on or datetime.now().astimezone()
    try:
        paper = given(
            beside.with_name(REGISTER), kind=kind, piece=file.stem, day=f"{day:%Y-%m-%d}",
            total=agreed[2], currency=quote.currency, write=write,
        )  # fmt: skip
    except NotRegistered as problem:
        stop(Exit.USAGE, str(problem))
    total = f"{quote.amount(paper.total)} {quote.currency}"
    click.echo(f"{kind} {paper.number} of {paper.day}: {draft.about.title}, {total}")
    if paper.before:
        click.echo("This number was given already; it stays.")
    elif not write:
        click.echo("Nothing is given out yet: --write gives the number and writes the PDF.")
    return paper


def _set(file: Path, piece: Piece, paper: Given, sheet: Sheet) -> None:
    from crossfell.papers.make import write_whole
    from crossfell.papers.typeset import typeset

    out = file.with_name(f"{file.stem}-{paper.kind}-{paper.number}.pdf")
    try:
        write_whole(out, typeset([sheet], piece.draft))
    except OSError as problem:
        stop(Exit.FILE, f"{out} could not be written: {problem.strerror}")
    click.echo(f"{out} written")

"""Which command shows the order book?"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from crossfell.cli.saying import Exit, stop
from crossfell.cli.shell import main


@main.command(short_help="Show pieces on the loom: hours left, days, promises, what to buy.")
@click.argument(
    "folder", default=".", type=click.Path(file_okay=False, exists=True, path_type=Path)
)
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="From this day on, not today.")
@click.option("--csv", "as_csv", is_flag=True, help="As a table for a spreadsheet.")
@click.option("--calendar", type=click.Path(dir_okay=False, path_type=Path),
              help="Write the days into this calendar file (iCalendar, .ics).")  # fmt: skip
def orders(folder: Path, on: datetime | None, calendar: Path | None, *, as_csv: bool) -> None:
    """Show all pieces of a folder: where they stand, when they are done, which promise breaks.

    What is promised (`promised` in [piece]) or begun is planned day by day; [week] says on which
    days you work. What is neither is an idea, and is told when it could be done.
    """
    from crossfell.orders import told
    from crossfell.orders.book import order_book
    from crossfell.papers.make import write_whole

    today = on.date() if on else datetime.now().astimezone().date()
    try:
        book = order_book(folder, today)
    except OSError as problem:
        stop(Exit.FILE, f"{problem.filename or folder} could not be read: {problem.strerror}")
    except ValueError as problem:
        stop(Exit.USAGE, str(problem))
    click.echo(told.as_csv(book) if as_csv else told.told(book), nl=not as_csv)
    if calendar is not None:
        if calendar.exists() and not told.is_ours(calendar.read_bytes()):
            stop(Exit.USAGE, f"{calendar} is no calendar of ours; it was left as it is")
        try:
            write_whole(calendar, told.as_calendar(book))
        except OSError as problem:
            stop(Exit.FILE, f"{calendar} could not be written: {problem.strerror}")
        click.echo(f"{calendar} written", err=True)

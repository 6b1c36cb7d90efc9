"""Which commands quote, stock and measure?"""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import click

from crossfell.cli.saying import FILE, Exit, changed, piece_of, sound, stop
from crossfell.cli.shell import main


@main.command(short_help="Quote the piece: materials, hours, overhead, profit, tax.")
@click.argument("file", type=FILE)
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="Day of the quote, not today.")
@click.option("--pieces", default=1, type=click.IntRange(1, 1000), help="So many alike.")
@click.option("--if", "changes", multiple=True, help="What if: `span.3.height = 200`.")
def quote(file: Path, on: datetime | None, pieces: int, changes: tuple[str, ...]) -> None:
    """Quote the piece: materials, hours, overhead, profit, tax; low, likely, high.

    \b
    crossfell quote low.toml --if "span.3.height = 200" --if "without span 7"
    crossfell quote low.toml --if "unit.a.ends = 18 chalk"
    """  # noqa: D301 - click reads the backspace
    from crossfell.facts.build import value_of
    from crossfell.plan import quote_told
    from crossfell.plan.whatif import differences

    piece = sound(piece_of(file))
    now = piece.quote(pieces)
    if changes:
        then = sound(changed(piece.draft, changes)).quote(pieces)
        click.echo(quote_told.told_differences(now, differences(now, then)))
        return
    until = (on or datetime.now().astimezone()) + timedelta(days=now.valid_days)
    click.echo(quote_told.told(now, title=piece.draft.about.title, until=f"{until:%Y-%m-%d}"))
    if now.complete and pieces == 1:
        values = (value_of(piece, f"price.per_{what}") for what in ("metre", "square_metre"))
        metre, square = (now.amount(round(value * 10**now.minor)) for value in values)
        click.echo(f"As a check, net: {metre} a metre of height, {square} a square metre.")


@main.command(short_help="Show what to buy and how to cut it.")
@click.argument("file", type=FILE)
@click.option("--cut", is_flag=True, help="It is cut: write what is left into workshop.toml.")
def stock(file: Path, *, cut: bool) -> None:
    """Show what to buy and how to cut it; with --cut, return the off-cuts to stock."""
    from crossfell.papers.make import write_whole
    from crossfell.plan import stock_after, stock_told

    piece = sound(piece_of(file))
    click.echo(stock_told.told(piece.draft, piece.amounts, piece.sure))
    if cut:
        left = stock_after.stock_after(piece.draft, piece.amounts)
        if not piece.draft.workshop_text:
            stop(Exit.USAGE, "there is no workshop.toml beside this draft to write the stock into")
        workshop = Path(piece.draft.workshop_file)
        text = stock_after.with_stock(piece.draft.workshop_text, left)
        try:
            write_whole(workshop, text.encode("utf-8"))
        except OSError as problem:
            stop(Exit.FILE, f"{workshop} could not be written: {problem.strerror}")
        click.echo(f"{workshop} written: what is left after cutting", err=True)


@main.command(short_help="Measure at the bench what stands as a default.")
@click.argument("what", required=False)
@click.argument("readings", nargs=-1)
@click.option("--draft", "file", type=FILE, help="Tell what stands for it in this draft, too.")
def measure(what: str | None, readings: tuple[str, ...], file: Path | None) -> None:
    """Measure at the bench what stands as a default; without WHAT, print the bench sheet.

    \b
    crossfell measure wraps count=96 over="50 mm" yarn=slate
    """  # noqa: D301 - click reads the backspace
    from crossfell.plan import measure_sheet as bench

    if what is None:
        click.echo(bench.sheet())
        return
    try:
        trial = bench.trial(what)
        given = dict(reading.partition("=")[::2] for reading in readings)
        for reading in trial.readings if not given else ():
            given[reading.name] = click.prompt(reading.asks, default=reading.default or None)
        draft = piece_of(file).draft if file else None
        click.echo(bench.told(bench.answered(trial, given), draft))
    except ValueError as problem:
        stop(Exit.USAGE, str(problem))

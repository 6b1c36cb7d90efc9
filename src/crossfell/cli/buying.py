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


@main.command(short_help="Show what to buy and cut; reserve, take out, put back, count.")
@click.argument("file", type=FILE)
@click.option("--reserve", is_flag=True, help="Keep what is there for this piece.")
@click.option("--take", is_flag=True, help="It is wound and cut: take it out, put rests back.")
@click.option("--put-back", multiple=True, metavar="WHAT", help="`yarn slate 60 g`.")
@click.option("--count", multiple=True, metavar="WHAT", help="`rod steel 3: 740 mm * 2`.")
@click.option("--back", is_flag=True, help="Take the last change back.")
@click.option("--write", is_flag=True, help="Write it; without, it is only shown.")
def stock(
    file: Path, *, reserve: bool, take: bool, put_back: tuple[str, ...], count: tuple[str, ...],
    back: bool, write: bool,
) -> None:  # fmt: skip
    """Show what to buy and how to cut it; change what workshop.toml says is there.

    \b
    crossfell stock low.toml --reserve             shown; with --write it is written
    crossfell stock low.toml --take --write
    crossfell stock low.toml --put-back "yarn slate 60 g" --put-back "heddle 140 mm * 2"
    crossfell stock low.toml --count "yarn slate 430 g" --write
    crossfell stock low.toml --back --write
    """  # noqa: D301 - click reads the backspace
    from crossfell.cli.stocking import change, way_back
    from crossfell.plan import stock_told

    asked = [name for name, said in (("reserve", reserve), ("take", take), ("put-back", put_back),
                                     ("count", count), ("back", back)) if said]  # fmt: skip
    if len(asked) > 1:
        stop(Exit.USAGE, f"one change at a time: {' or '.join(f'--{name}' for name in asked)}")
    piece = sound(piece_of(file))
    if not asked:
        click.echo(stock_told.told(piece.draft, piece.amounts, piece.sure))
    elif back:
        way_back(piece.draft, write=write)
    else:
        change(piece, asked[0], put_back or count, write=write)


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

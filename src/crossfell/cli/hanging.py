"""Which commands tell how it will hang, and mend it?"""

from __future__ import annotations

from pathlib import Path

import click

from crossfell.cli.saying import FILE, Exit, piece_of, sound, stop
from crossfell.cli.shell import main


@main.command(short_help="Say how it will hang, and the loads on the wall.")
@click.argument("file", type=FILE)
@click.option("--runs", default=200, show_default=True, help="With errors of length; 0: none.")
@click.option("--error", type=float, help="Error of a length as a share; else the draft's own.")
@click.option("--on", default="", help="Address of a Dask cluster, as tcp://loom:8786.")
def hang(file: Path, runs: int, error: float | None, on: str) -> None:
    """Say how it will hang: drift, tilt, slack, ranges of tension, loads on the wall."""
    from rich.console import Console
    from rich.progress import Progress

    from crossfell.search import hanging, spread
    from crossfell.search.workers import NoWorkersError

    piece, found = sound(piece_of(file)), None
    if runs > 0:
        with Progress(console=Console(stderr=True), transient=True) as bar:
            task = bar.add_task("hanging it with other lengths", total=runs)
            try:
                found = spread.spread_of(
                    piece, runs=runs, error=error, on=on, done=lambda n: bar.advance(task, n)
                )
            except NoWorkersError as problem:
                stop(Exit.USAGE, str(problem))
    click.echo("\n".join(hanging.told(piece, found)))


@main.command(short_help="Propose remedies for what swings, drifts or hangs slack.")
@click.argument("file", type=FILE)
@click.option("--apply", "number", type=int, help="Write the remedy of this number into the draft.")
@click.option("--seconds", default=60.0, show_default=True, help="How long remedies are tried.")
def mend(file: Path, number: int | None, seconds: float) -> None:
    """Propose remedies for what swings, drifts or hangs slack, with their effect and cost."""
    from crossfell.papers.make import write_whole
    from crossfell.search import mending, remedies

    piece = sound(piece_of(file))
    mended = remedies.mended(
        piece, lambda what: click.echo(f"trying {what} …", err=True), seconds=seconds
    )
    found = mended.remedies
    if number is None:
        click.echo("\n".join(mending.told(piece, mended)))
        return
    if not 1 <= number <= len(found):
        stop(Exit.USAGE, f"there is no remedy {number}; there are {len(found)}")
    try:
        write_whole(file, found[number - 1].text.encode("utf-8"))
    except OSError as problem:
        stop(Exit.FILE, f"{file} could not be written: {problem.strerror}")
    click.echo(f"{file} written: {found[number - 1].says}")

"""Which commands tell how it will hang, and mend it?"""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from crossfell.cli.saying import FILE, Exit, piece_of, sound, stop
from crossfell.cli.shell import main


@main.command(short_help="Say how it will hang, and the loads on the wall.")
@click.argument("file", type=FILE)
@click.option(
    "--runs",
    default=50,
    show_default=True,
    type=click.IntRange(0, 10_000),
    help="How many pieces with errors of length are hung; 0: none.",
)
@click.option("--error", help="Error of a length, as 0.1% or 0.001; else the draft's own.")
@click.option("--on", default="", help="Address of a Dask cluster, as tcp://loom:8786.")
def hang(file: Path, runs: int, error: str | None, on: str) -> None:
    """Say how it will hang: drift, tilt, slack, ranges of tension, loads on the wall."""
    from rich.console import Console
    from rich.progress import Progress

    from crossfell.search import hanging, spread
    from crossfell.search.workers import NoWorkersError

    share = None if error is None else _share(error)
    piece, found = sound(piece_of(file)), None
    if runs > 0:
        with Progress(console=Console(stderr=True), transient=True) as bar:
            task = bar.add_task("hanging it with other lengths", total=runs)
            try:
                found = spread.spread_of(
                    piece, runs=runs, error=share, on=on, done=lambda n: bar.advance(task, n)
                )
            except NoWorkersError as problem:
                stop(Exit.USAGE, str(problem))
    click.echo("\n".join(hanging.told(piece, found)))


GREATEST_ERROR = 0.05  # of a length: beyond it nothing is woven that can be foreseen


def _share(text: str) -> float:
    """An error of length: `0.5%` and `0.005` are the same; or the end."""
    number = text.strip().removesuffix("%").strip().replace(",", ".")
    try:
        share = float(number) / (100 if "%" in text else 1)
    except ValueError:
        share = float("nan")
    if not 0 < share <= GREATEST_ERROR:
        stop(
            Exit.USAGE,
            f"an error of length is more than nothing and at most {GREATEST_ERROR:.0%}: "
            f"`--error 0.5%` or `--error 0.005`, not `--error {text}`",
        )
    return share


@main.command(short_help="Propose remedies for what swings, drifts or hangs slack.")
@click.argument("file", type=FILE)
@click.option("--apply", "name", help="Write the proposal of this name into the draft.")
@click.option(
    "--most",
    default=120,
    show_default=True,
    type=click.IntRange(0, 10_000),
    help="How many drafts are tried; the same proposals each time.",
)
def mend(file: Path, name: str | None, most: int) -> None:
    """Propose remedies for what swings, drifts or hangs slack, with their effect and cost.

    A proposal has a name, which is gone as soon as the draft changes. `crossfell woven FILE --back`
    brings back the text from before.
    """
    from crossfell.search import mending, remedies

    piece = sound(piece_of(file))
    trying = partial(click.echo, err=True)
    mended = remedies.mended(piece, lambda what: trying(f"trying {what} …"), most=most)
    if name is None:
        click.echo("\n".join(mending.told(piece, mended)))
        return
    chosen = next((remedy for remedy in mended.remedies if remedy.name == name), None)
    if chosen is None:
        stop(
            Exit.USAGE,
            f"no proposal for this draft is called {name}: the draft has changed since, or it was "
            f"of another; `crossfell mend {file}` proposes anew",
        )
    _written(file, piece.draft.text, chosen.text, chosen.says)
    click.echo(f"{file} written: {chosen.says}; back with: crossfell woven {file} --back")


def _written(file: Path, base: str, text: str, says: str) -> None:
    """Write a proposal, with what was saved into the file since it was read."""
    from crossfell.draft.files import read_file
    from crossfell.loomside.rewriting import write_text
    from crossfell.studio.merge import merged

    try:
        both = merged(base, text, read_file(file).text)
        if not both.agreed:
            stop(Exit.USAGE, f"{file} was changed meanwhile at the same place; nothing is written")
        write_text(file, both.text, says=f"remedy: {says}")
    except OSError as problem:
        stop(Exit.FILE, f"{file} could not be written: {problem.strerror}")

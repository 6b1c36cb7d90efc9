"""Which commands take her from an idea to a draft?"""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from crossfell.cli.saying import FILE, Exit, stop
from crossfell.cli.shell import main


@main.command(short_help="Make a draft of a picture.")
@click.argument("picture", type=click.Path(dir_okay=False, exists=True, path_type=Path))
@click.argument("file", type=FILE)
@click.option("--yarns", required=True, help='Yarns and units of each: "rust 7, slate 9, chalk 8".')
@click.option("--places", type=int, default=24, show_default=True, help="Places across.")
@click.option("--bands", type=int, default=20, show_default=True, help="Bands from end to end.")
@click.option("--gaps", type=click.IntRange(min=0), default=0, help="Places that stay open.")
@click.option("--front", default="", help='Yarns from front to back, or "fewest lifts".')
@click.option("--easy", type=click.FloatRange(min=0), default=0.05, show_default=True,
              help="Price of a place moved: more is easier to lay.")  # fmt: skip
@click.option("--ease", type=click.FloatRange(min=0), default=0.0, help="Smoother lines: 0.1.")
@click.option("--brace", is_flag=True, help="Two units cross in every span where nothing moves.")
@click.option("--upright", is_flag=True, help="Turn the picture a quarter to the left.")
@click.option("--fit", type=click.Choice(["stretch", "fill", "whole"]), default="stretch",
              show_default=True, help="Stretch it, crop it, or keep all of it.")  # fmt: skip
@click.option("--height", type=click.FloatRange(min=1), default=140.0, show_default=True,
              help="Height of a span, mm.")  # fmt: skip
@click.option("--pitch", type=click.FloatRange(min=0), default=0.0, help="Pitch, mm.")
@click.option("--like", type=click.Path(dir_okay=False, exists=True, path_type=Path),
              help="A draft with the yarns and the loom.")  # fmt: skip
@click.option("--title", default="", help="Title of the piece.")
@click.option("--bound/--no-bound", default=None, help="How far from the best; takes longer.")
def sketch(picture: Path, file: Path, **said: object) -> None:
    """Make a draft of a picture: PNG, JPEG, WebP or SVG.

    Yarns come from the workshop.toml beside FILE, from a draft (--like), or with a colour of their
    own: "rust #b0512f 7". Without numbers the units are shared out as the picture asks. Yarns stand
    from front to back unless --front says otherwise. Ctrl-C while it improves keeps what there is.
    """
    from crossfell.search.sketch import making, wishes

    if file.exists():
        stop(Exit.FILE, f"{file} is already there; nothing was written")
    wish = wishes.Wishes(
        yarns=str(said["yarns"]), places=_int(said["places"]), bands=_int(said["bands"]),
        gaps=_int(said["gaps"]), front=str(said["front"]), height_mm=_float(said["height"]),
        pitch_mm=_float(said["pitch"]), title=str(said["title"] or picture.stem),
    )  # fmt: skip
    made = _made(picture, file, wish, said)
    try:
        with file.open("x", encoding="utf-8") as out:
            out.write(made.text)
    except OSError as problem:
        stop(Exit.FILE, f"{file} could not be written: {problem.strerror}")
    click.echo(f"{file} written.")
    click.echo("\n".join(making.told(made, wish)))


def _made(picture: Path, file: Path, wish: Any, said: dict[str, object]) -> Any:
    import numpy as np

    from crossfell.materials.colour import linear_from_hex
    from crossfell.search.sketch import making, wishes
    from crossfell.search.sketch.picture import PictureRefused, cells_of
    from crossfell.search.sketch.program import Taste

    like = said["like"]
    means = wishes.means_of(wish, file, like if isinstance(like, Path) else None)
    if isinstance(means, PictureRefused):
        stop(Exit.USAGE, means.says)
    aspect = wish.places * means.pitch_mm / (wish.bands * wish.height_mm)
    wall = np.array(linear_from_hex(wishes.WALL))
    try:
        cells = cells_of(picture, wish.bands, wish.places, aspect=aspect, fit=str(said["fit"]),
                         wall=wall, upright=bool(said["upright"]))  # fmt: skip
    except OSError as problem:
        stop(Exit.FILE, f"{picture} could not be read: {problem.strerror}")
    if isinstance(cells, PictureRefused):
        stop(Exit.USAGE, cells.says)
    taste = Taste(easy=_float(said["easy"]), smooth=_float(said["ease"]))
    bound = said["bound"]
    with _watched() as heard:
        return making.sketched(cells, means, wish, taste, heard, brace=bool(said["brace"]),
                               bound=bound if isinstance(bound, bool) else None)  # fmt: skip


@contextmanager
def _watched() -> Iterator[Callable[[str, int, int], bool]]:
    """A bar while it improves; after the first Ctrl-C the answer to `go on?` is no."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    stopped = False

    def enough(*_: object) -> None:
        nonlocal stopped
        if stopped:
            raise KeyboardInterrupt
        stopped = True

    former = signal.signal(signal.SIGINT, enough)
    columns = (BarColumn(), TextColumn("{task.description}"))
    try:
        with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
            task = bar.add_task("looking …", total=1)

            def heard(what: str, done: int, of: int) -> bool:
                bar.update(task, description=what, completed=done, total=of)
                return not stopped

            yield heard
    finally:
        signal.signal(signal.SIGINT, former)


def _int(value: object) -> int:
    return int(str(value))


def _float(value: object) -> float:
    return float(str(value))

"""Which command begins with a wall?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from crossfell.cli.saying import Exit, stop
from crossfell.cli.shell import main

if TYPE_CHECKING:
    from crossfell.search.walls import Proposal


@main.command(short_help="Propose pieces that fit a wall, yarns and hours.")
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path))
@click.option("--width", type=float, required=True, help="Free width of the wall, mm.")
@click.option("--height", type=float, required=True, help="Free height of the wall, mm.")
@click.option("--yarns", required=True, help='Yarns, those outside first: "slate, rust, chalk".')
@click.option("--hours", type=click.FloatRange(min=0), help="Hours that you are ready to spend.")
@click.option("--distance", type=float, default=3.0, show_default=True,
              help="Distance from which it is looked at, m.")  # fmt: skip
@click.option("--like", type=click.Path(dir_okay=False, exists=True, path_type=Path),
              help="A draft with the yarns and the loom.")  # fmt: skip
def propose(folder: Path, width: float, height: float, yarns: str, hours: float | None,
            distance: float, like: Path | None) -> None:  # fmt: skip
    """Propose pieces that fit a wall: each a draft in FOLDER, all in one picture.

    The piece takes 85 % of the wall; heights follow the distance of looking; one figure is laid
    across and up. Whether a wall can bear it is not looked at.
    """
    import math

    from crossfell.search.sketch.picture import PictureRefused
    from crossfell.search.sketch.wishes import Wishes, means_of
    from crossfell.search.walls import WallToFill, proposals

    bare = ", ".join(part.strip() for part in yarns.split(","))
    means = means_of(Wishes(yarns=bare, places=2, bands=2), folder / "x.toml", like)
    if isinstance(means, PictureRefused):
        stop(Exit.USAGE, means.says)
    found = proposals(WallToFill(width_mm=width, height_mm=height, distance_m=distance,
                           hours=math.inf if hours is None else hours), means)  # fmt: skip
    if isinstance(found, PictureRefused):
        stop(Exit.USAGE, found.says)
    _write(found, folder)


def _write(found: list[Proposal], folder: Path) -> None:
    from crossfell.drawings.gallery import Exhibit, gallery
    from crossfell.drawings.svg import svg
    from crossfell.papers.make import write_whole

    scene = gallery([Exhibit(one.piece, one.name, "") for one in found], title="Proposals")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for one in found:
            with (folder / f"{one.name}.toml").open("x", encoding="utf-8") as out:
                out.write(one.text)
            click.echo(one.says)
        write_whole(folder / "proposals.svg", svg(scene).encode())
    except FileExistsError as problem:
        stop(Exit.FILE, f"{problem.filename} is already there; it was not written over")
    except OSError as problem:
        stop(Exit.FILE, f"{folder} could not be written: {problem.strerror}")
    click.echo(f"{folder}: a draft of each, and proposals.svg")

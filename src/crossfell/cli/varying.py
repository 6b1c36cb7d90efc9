"""Which command shows what else a draft could be?"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from crossfell.cli.saying import FILE, Exit, piece_of, sound, stop
from crossfell.cli.shell import main

if TYPE_CHECKING:
    from crossfell.piece import Piece
    from crossfell.search.variants.comparing import Numbers
    from crossfell.search.variants.ways import Variant

KINDS = "colours,heights,mirrored,pitch"


@main.command(short_help="Other colours, heights, sides and widths of a draft, side by side.")
@click.argument("file", type=FILE)
@click.option("--kinds", default=KINDS, show_default=True, help="Which variants, by comma.")
@click.option("--sort", default="", help="By a number that is shown: hours, lifts, …")
@click.option("--into", type=FILE, help="Gallery to write as well: .svg or .png.")
@click.option("--keep", nargs=2, metavar="NUMBER FILE", help="Write a variant as a draft.")
@click.option("--on", default="", help="Address of a Dask cluster, as tcp://loom:8786.")
@click.option("--cores", type=click.IntRange(min=1), help="Cores of this machine; else all.")
def variants(file: Path, kinds: str, sort: str, into: Path | None, keep: tuple[str, str] | None,
             on: str, cores: int | None) -> None:  # fmt: skip
    """Show other colours, heights, sides and widths of a draft, with the numbers that differ.

    The same numbers come from one core, many, or a cluster (extra `cluster`). Ctrl-C ends it.
    """
    from crossfell.search.variants.ways import KINDS as KNOWN
    from crossfell.search.variants.ways import variants_of

    wanted = tuple(kind.strip() for kind in kinds.split(",") if kind.strip())
    if unknown := [kind for kind in wanted if kind not in KNOWN]:
        stop(Exit.USAGE, f"no such kind: {', '.join(unknown)}; there are {', '.join(KNOWN)}")
    piece = sound(piece_of(file))
    found = variants_of(piece, wanted)
    if keep:
        _write(found, keep[0], Path(keep[1]))
        return
    rows = _sorted(found, _numbers(piece, found, on, cores), sort)
    _tell(rows)
    if into:
        _draw(piece, rows, into)


def _numbers(piece: Piece, found: list[Variant], on: str, cores: int | None
             ) -> list[Numbers | None]:  # fmt: skip
    from rich.console import Console
    from rich.progress import Progress

    from crossfell.search.variants.comparing import Job, numbers_of
    from crossfell.search.workers import NoWorkersError, done_by, workers

    jobs = [Job(one.text, piece.draft.workshop_text or None) for one in found]
    try:
        with (
            workers(on, jobs=len(jobs), cores=cores) as executor,
            Progress(console=Console(stderr=True), transient=True) as bar,
        ):
            task = bar.add_task("variants", total=len(jobs))
            return done_by(executor, numbers_of, jobs, lambda n: bar.update(task, completed=n))
    except NoWorkersError as problem:
        stop(Exit.USAGE, str(problem))


Row = tuple[int, "Variant", "Numbers | None"]


def _sorted(found: list[Variant], numbers: list[Numbers | None], sort: str) -> list[Row]:
    from crossfell.search.variants.comparing import HEADS

    rows: list[Row] = list(zip(range(len(found)), found, numbers, strict=True))
    if not sort:
        return rows
    by = {head: name for name, (head, _) in HEADS.items()}
    if sort not in by:
        stop(Exit.USAGE, f"`{sort}` is no number that is shown; there are {', '.join(by)}")

    def worth(row: Row) -> float:
        value = row[2][by[sort]] if row[2] else None
        return float("inf") if value is None else value

    return sorted(rows, key=worth)


def _tell(rows: list[Row]) -> None:
    from crossfell.search.variants.comparing import told

    names = [f"{number:3}  {one.name}" for number, one, _ in rows]
    click.echo("\n".join(told(names, [n for *_, n in rows], [one.says for _, one, _ in rows])))
    click.echo("`crossfell variants FILE --keep NUMBER NEW` writes one as a draft.")


def _draw(piece: Piece, rows: list[Row], into: Path) -> None:
    from crossfell.draft.reader import read_draft
    from crossfell.drawings.gallery import Exhibit, gallery
    from crossfell.drawings.png import png
    from crossfell.drawings.svg import svg
    from crossfell.papers.make import write_whole
    from crossfell.piece import Piece as Computed

    workshop = piece.draft.workshop_text or None
    shown = [
        Exhibit(Computed(read_draft(one.text, workshop=workshop)), f"{number}  {one.name}"[:26],
              one.says.replace(", ", "\n"))
        for number, one, numbers in rows if numbers
    ]  # fmt: skip
    scene = gallery(shown, title=piece.draft.about.title)
    try:
        write_whole(into, png(scene, width_px=2400) if into.suffix == ".png"
                    else svg(scene).encode())  # fmt: skip
    except OSError as problem:
        stop(Exit.FILE, f"{into} could not be written: {problem.strerror}")
    click.echo(f"{into} written: {len(shown)} pictures.")


def _write(found: list[Variant], number: str, to: Path) -> None:
    if not number.isdecimal() or int(number) >= len(found):
        stop(Exit.USAGE, f"there is no variant {number}; there are 0 to {len(found) - 1}")
    try:
        with to.open("x", encoding="utf-8") as out:
            out.write(found[int(number)].text)
    except FileExistsError:
        stop(Exit.FILE, f"{to} is already there; nothing was written")
    except OSError as problem:
        stop(Exit.FILE, f"{to} could not be written: {problem.strerror}")
    click.echo(f"{to} written: {found[int(number)].name}")

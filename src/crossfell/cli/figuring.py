"""Which commands find figures, and keep them?"""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import click

from crossfell.cli.saying import FILE, Exit, piece_of, stop
from crossfell.cli.shell import main

if TYPE_CHECKING:
    from crossfell.search.figures.counting import Figures
    from crossfell.search.figures.writing import LaidFigure, Size

LOOKS = ("alternating", "open", "dense", "easy", "rich", "symmetric")


class Between(click.ParamType[range]):
    """A number, or a first and a last: 4, 4-6."""

    name = "n-m"

    def convert(
        self,
        value: object,
        param: click.Parameter | None,
        ctx: click.Context | None,
    ) -> range:
        """The numbers meant."""
        if isinstance(value, range):
            return value
        read = re.fullmatch(r"(\d)(?:-(\d))?", str(value))
        if not read or int(read[2] or read[1]) < int(read[1]):
            self.fail(f"{value} is no number from 1 to 9, nor two as 4-6", param, ctx)
        return range(int(read[1]), int(read[2] or read[1]) + 1)


@main.command(short_help="Find figures that can be laid, hold and repeat.")
@click.option("--places", type=Between(), default="4", show_default=True, help="As 4 or 4-6.")
@click.option("--spans", type=Between(), default="3-4", show_default=True, help="As 4 or 1-4.")
@click.option("--ends", type=click.Choice(["closed", "mirrored"]), default="closed",
              show_default=True, help="As it began, or left and right exchanged.")  # fmt: skip
@click.option("--reach", type=click.IntRange(1, 3), default=2, show_default=True,
              help="Places that a unit moves at most in a span.")  # fmt: skip
@click.option("--look", type=click.Choice(LOOKS), help="What comes first.")
@click.option("--like", default="", help="More like this one: f4x4r2n137.")
@click.option("--count", type=click.IntRange(1, 96), default=24, show_default=True)
@click.option("--into", type=FILE, default="figures.svg", show_default=True,
              help="Gallery to write: .svg or .png, and the figures as .toml.")  # fmt: skip
@click.option("--of", "named", nargs=2, metavar="DRAFT FIGURE",
              help="Which figure is this of a draft?")  # fmt: skip
@click.option("--keep", nargs=2, metavar="FIGURE NAME",
              help="Into the book of figures of the workshop here, under a name.")  # fmt: skip
def figures(**said: object) -> None:
    """Find figures that can be laid, hold and repeat: a gallery, and the figures as draft text.

    All essentially different figures of a size are looked through; those shown are the best that
    differ from each other. A kept figure stands in workshop.toml, for every draft below it.
    """
    from crossfell.search.figures.writing import Size

    ends, reach = str(said["ends"]), int(str(said["reach"]))
    named, keep, like = said["named"], said["keep"], str(said["like"])
    if isinstance(named, tuple):
        click.echo(_recognised(Path(named[0]), str(named[1]), ends, reach))
    elif isinstance(keep, tuple):
        click.echo(_kept(str(keep[0]), str(keep[1])))
    else:
        places, spans = said["places"], said["spans"]
        if not isinstance(places, range) or not isinstance(spans, range):
            raise TypeError("places and spans are ranges")
        sizes = [_by_name(like)[0]] if like else [
            Size(n, k, reach, ends) for n in places for k in spans
        ]  # fmt: skip
        number = _by_name(like)[1] if like else None
        shown = _shown(sizes, str(said["look"] or ""), number, int(str(said["count"])))
        _write(shown, Path(str(said["into"])))


def _by_name(name: str) -> tuple[Size, int]:
    from crossfell.search.figures.writing import named

    found = named(name)
    if found is None:
        stop(Exit.USAGE, f"`{name}` is no figure of a gallery; they are called as f4x4r2n137")
    return found


def _every(size: Size) -> tuple[Figures, bool]:
    """All figures of a size, or the end when they are too many."""
    from crossfell.search.figures.counting import TooManyError
    from crossfell.search.figures.writing import every

    if not 2 <= size.places <= 8 or not 1 <= size.spans <= 6:
        stop(Exit.USAGE, "figures have 2 to 8 places and 1 to 6 spans")
    try:
        return every(size)
    except TooManyError:
        stop(
            Exit.USAGE,
            f"{size.places} places and {size.spans} spans with a reach of {size.reach} have more "
            "figures than can be looked through; fewer, or --reach 1",
        )


def _shown(sizes: list[Size], look: str, like: int | None, count: int
           ) -> list[tuple[LaidFigure, Figures]]:  # fmt: skip
    from crossfell.search.figures.ranking import chosen
    from crossfell.search.figures.writing import laid

    found: list[tuple[LaidFigure, Figures]] = []
    for k, size in enumerate(sizes):
        every, only = _every(size)
        if like is not None and like >= len(every.rows):
            stop(Exit.USAGE, f"there are {len(every.rows)} figures of this size, from 0")
        click.echo(f"{size.places} places, {size.spans} spans: {len(every.rows)} figures, "
                   f"{int((every.symmetric > 0).sum())} with a symmetry"
                   + (", of spans that are the same from behind" if only else ""))  # fmt: skip
        share = -(-(count - len(found)) // (len(sizes) - k))
        found += [(laid(every, at, size), every) for at in chosen(every, share, look, like)]
    return found


def _write(shown: list[tuple[LaidFigure, Figures]], into: Path) -> None:
    import math

    from crossfell.drawings.gallery import Exhibit, gallery
    from crossfell.drawings.png import png
    from crossfell.drawings.svg import svg
    from crossfell.papers.make import write_whole
    from crossfell.search.figures.writing import fragment

    if not shown:
        stop(Exit.USAGE, "there is no figure of this size that joins all its places")
    pieces = [
        Exhibit(one.piece, one.name, f"{one.lifted:.1f} lifts, {one.minutes:.0f} min a span\n"
              f"{100 * one.open:.0f} % open, lean {math.degrees(one.lean_rad):.0f}° {one.says}")
        for one, _ in shown
    ]  # fmt: skip
    scene = gallery(pieces, title="Figures")
    made = png(scene, width_px=2400) if into.suffix == ".png" else svg(scene).encode()
    text = "\n".join(fragment(every.spans, one.row, one.name) for one, every in shown)
    try:
        write_whole(into, made)
        write_whole(into.with_suffix(".toml"), text.encode())
    except OSError as problem:
        stop(Exit.FILE, f"{into} could not be written: {problem.strerror}")
    click.echo(f"{into} and {into.with_suffix('.toml')} written: {len(shown)} figures.")


def _recognised(file: Path, name: str, ends: str, reach: int) -> str:
    from crossfell.search.figures.writing import Size, recognised, row_of

    draft = piece_of(file).draft
    figure = draft.laid_out.figures.get(name) if draft.laid_out else None
    if figure is None:
        stop(Exit.USAGE, f"{file} has no figure `{name}`")
    size = Size(figure.places, len(figure.spans), reach, ends)
    every, _ = _every(size)
    row = row_of(every.spans, draft, name)
    found = recognised(every, row, ends) if row else None
    if found is None:
        return (f"{name} is none of the {len(every.rows)} figures of its size: those end {ends}, "
                "have balanced spans that can be laid, no turns, and join all places.")  # fmt: skip
    number, view = found
    return f"{name} is figure {size.name(number)}" + (f", {view}" if view else "")


def _kept(name: str, called: str) -> str:
    from crossfell.draft.edit_runs import checked_name
    from crossfell.draft.files import WORKSHOP
    from crossfell.draft.script import NotEditable, opened
    from crossfell.papers.make import write_whole
    from crossfell.search.figures.writing import fragment

    size, number = _by_name(name)
    every, _ = _every(size)
    if number >= len(every.rows):
        stop(Exit.USAGE, f"there are {len(every.rows)} figures of this size, from 0")
    book = Path(WORKSHOP)
    text = book.read_text(encoding="utf-8") if book.is_file() else ""
    added = text + ("\n" if text else "") + fragment(every.spans, every.rows[number], called)
    try:
        checked_name(opened(text), "figure", called)
    except NotEditable as problem:
        stop(Exit.USAGE, str(problem))
    write_whole(book, added.encode())
    return f"{book}: {name} is kept as `{called}`; lay it with `{called} at 1`"

"""Which commands take her from a draft to everything she needs?"""

from __future__ import annotations

import sys
from pathlib import Path

import click

from crossfell.cli.saying import (
    FILE,
    Exit,
    notes_of,
    piece_of,
    progress,
    sound,
    stop,
    tell,
    verdict,
)
from crossfell.cli.shell import main


@main.command()
@click.argument("file", type=FILE)
def new(file: Path) -> None:
    """Write a commented draft to start from."""
    from crossfell.draft.start import STARTER

    try:
        with file.open("x", encoding="utf-8") as out:
            out.write(STARTER)
    except FileExistsError:
        stop(Exit.FILE, f"{file} is already there; nothing was written")
    except OSError as problem:
        stop(Exit.FILE, f"{file} could not be written: {problem.strerror}")
    click.echo(f"{file} written. Next: crossfell check {file}")


@main.command()
@click.argument("file", type=FILE)
def check(file: Path) -> None:
    """Say what is wrong or doubtful, most serious first."""
    piece = piece_of(file)
    tell(piece.draft, notes_of(piece))
    sys.exit(verdict(piece.notes))


@main.command(short_help="Make everything: pictures, papers, model, facts.")
@click.argument("file", type=FILE)
@click.option("--only", default="", help="Only these, by comma, as cards,labels.")
@click.option("--into", type=click.Path(file_okay=False, path_type=Path), help="Another folder.")
def make(file: Path, only: str, into: Path | None) -> None:
    """Make everything: pictures, papers, model, facts, in a folder beside the draft.

    Parts for --only: pictures, papers, cards, labels, cartoon, client, handover, quote, model,
    facts; and, made only when asked for, booklet and cards-large (read from a metre and a half).
    What is still as this draft makes it is left as it is.
    """
    from crossfell.papers.make import PARTS, USUAL, make_all

    wanted = tuple(part.strip() for part in only.split(",") if part.strip()) or USUAL
    unknown = [part for part in wanted if part not in PARTS]
    if unknown:
        stop(Exit.USAGE, f"no such part: {', '.join(unknown)}; there are {', '.join(PARTS)}")
    piece = piece_of(file)
    tell(piece.draft, notes_of(piece))
    if verdict(piece.notes) is not Exit.FINE:
        click.echo("Nothing was made: the draft has errors.", err=True)
        sys.exit(Exit.DRAFT_HAS_ERRORS)
    folder = into or file.with_suffix(".made")
    try:
        with progress(wanted) as said:
            made = make_all(piece, folder, wanted, said)
    except OSError as problem:
        stop(Exit.FILE, f"{folder} could not be written: {problem.strerror}")
    width = max(len(str(path)) for path, _ in made)
    click.echo(f"\n{piece.draft.about.title}: look first at {made[0][0]}\n")
    for path, says in made:
        click.echo(f"  {path!s:{width}}  {says}")


@main.command()
@click.argument("file", type=FILE)
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
def facts(file: Path, *, as_json: bool) -> None:
    """Print every computed number, with its unit."""
    from crossfell.facts.build import as_text, facts_of, written

    piece = piece_of(file)
    click.echo(written(facts_of(piece)) if as_json else as_text(piece), nl=not as_json)
    sys.exit(verdict(piece.notes))


@main.command(short_help="Say how a number came about.")
@click.argument("file", type=FILE)
@click.argument("words", nargs=-1, metavar="[WHAT]")
@click.option("--exact", is_flag=True, help="All digits of the values put in.")
def why(file: Path, words: tuple[str, ...], *, exact: bool) -> None:
    """Say how a number came about: in plain words; then formula, source, values, draft lines.

    WHAT is the way to a number in the facts, as units.a1.winding_length or spans.3.max_lean;
    without it, the numbers that can be asked for are listed.
    """
    from crossfell.facts.why import Unknown, because, can_be_asked, told

    piece = piece_of(file)
    if not words:
        click.echo("\n".join(can_be_asked(piece)))
        return
    answer = because(piece, " ".join(words))  # `stock.rods.steel 3.buy` needs no quotes
    if isinstance(answer, Unknown):
        stop(Exit.USAGE, answer.says)
    click.echo(told(answer, piece.draft, all_digits=exact))


@main.command(short_help="Say whether two drafts give the same crossings.")
@click.argument("a", type=FILE)
@click.argument("b", type=FILE)
def same(a: Path, b: Path) -> None:
    """Say whether drafts A and B give the same crossings, and if not where they part.

    Compared are crossings and turns, exactly; lengths, places and colours do not matter.
    The exit code is 0 when they are the same and 4 when they part.
    """
    from crossfell.order.same import same_order, told

    one, other = piece_of(a), piece_of(b)
    for piece in (one, other):
        if not piece.computable or verdict(piece.order.notes) is not Exit.FINE:
            tell(piece.draft, piece.notes)
            sys.exit(Exit.DRAFT_HAS_ERRORS)
    compared = same_order(one.order, other.order)
    click.echo(told(compared, one.draft, other.draft))
    sys.exit(Exit.FINE if compared.same else Exit.THEY_PART)


@main.command(short_help="Draw what the strips look like now, or after any step.")
@click.argument("file", type=FILE)
@click.option("--step", type=click.IntRange(min=0), help="After this step; else by the record.")
@click.option("--behind", is_flag=True, help="The row of bobbins, from behind the loom.")
@click.option("--style", type=click.Choice(["full", "line"]), default="full", show_default=True)
@click.option("--into", type=FILE, help="Picture to write: .svg or .png; else now.svg.")
def now(file: Path, *, step: int | None, behind: bool, style: str, into: Path | None) -> None:
    """Draw what the strips look like now, or after any step of the plan.

    Without --step it is the last step that was ticked at the loom; the picture lies in the folder
    that `crossfell make` writes.
    """
    from crossfell.drawings.moments import now_view
    from crossfell.drawings.png import png
    from crossfell.drawings.svg import svg
    from crossfell.papers.done import steps_done
    from crossfell.papers.make import write_whole

    piece = sound(piece_of(file))
    done = steps_done(piece) if step is None else step
    if done > len(piece.plan.steps):
        stop(Exit.USAGE, f"there is no step {done}; the plan has {len(piece.plan.steps)}")
    scene = now_view(piece, done, behind=behind, style=style)
    to = into or file.with_suffix(".made") / "now.svg"
    made = png(scene, width_px=2000) if to.suffix == ".png" else svg(scene).encode()
    try:
        to.parent.mkdir(parents=True, exist_ok=True)
        write_whole(to, made)
    except OSError as problem:
        stop(Exit.FILE, f"{to} could not be written: {problem.strerror}")
    click.echo(f"{to}  after step {done} of {len(piece.plan.steps)}")

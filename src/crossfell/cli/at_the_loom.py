"""Which commands lead her at the loom, and keep what was done?"""

from __future__ import annotations

import sys
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from crossfell.cli.saying import FILE, Exit, piece_of, stop, tell, verdict
from crossfell.cli.shell import main

if TYPE_CHECKING:
    from collections.abc import Iterator

    from crossfell.piece import Piece


@main.command(short_help="Lead through the plan at the loom, step by step.")
@click.argument("file", type=FILE)
@click.option("--plain", is_flag=True, help="In this terminal, without a browser.")
@click.option("--port", default=8420, show_default=True, help="Where the browser finds it.")
def loom(file: Path, *, plain: bool, port: int) -> None:
    """Lead through the plan at the loom, one step at a time, and remember every tick."""
    with _kept(file):
        if plain:
            from crossfell.loomside.plain import lead
        else:
            from crossfell.loomside.serve import lead
        lead(file, port=port, says=click.echo)


@main.command(short_help="Show hours, planned against real, and notes.")
@click.argument("file", type=FILE)
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
@click.option("--learn", is_flag=True, help="Write your own minutes into workshop.toml.")
def log(file: Path, *, as_json: bool, learn: bool) -> None:
    """Show what was done: hours by day and kind of step, planned against real, and notes."""
    from crossfell.loomside import desk

    with _kept(file):
        text, table = desk.log_of(file)
        click.echo(desk.as_json(table) if as_json else text, nl=False)
        if learn:
            workshop, lines = desk.learn(file)
            click.echo(f"{len(lines)} kinds of step written into {workshop}", err=True)


@main.command()
@click.argument("file", type=FILE)
@click.argument("kind", type=click.Choice(["note", "photo", "lot", "join", "broken-end", "weight",
                                           "drying", "woven", "used"]))  # fmt: skip
@click.argument("words", nargs=-1, required=True)
def note(file: Path, kind: str, words: tuple[str, ...]) -> None:
    """Keep something at the step that you are at.

    \b
    crossfell note low.toml note the left edge pulls in
    crossfell note low.toml photo pictures/band-3.jpg
    crossfell note low.toml lot slate B-1172
    crossfell note low.toml join a3
    crossfell note low.toml broken-end a3
    crossfell note low.toml weight a3 260 g
    crossfell note low.toml drying 4 h
    """  # noqa: D301 - click reads the backspace
    from crossfell.loomside import desk

    with _kept(file):
        click.echo(desk.note_words(file, kind, words))


@main.command(short_help="Compare a photograph of the batten with the plan.")
@click.argument("file", type=FILE)
@click.argument("photo", type=FILE)
def look(file: Path, photo: Path) -> None:
    """Compare a photograph of the batten with how it must lie now, by the marks of its labels."""
    from crossfell.loomside import desk

    with _kept(photo):
        right, text = desk.look(file, photo)
    click.echo(text)
    sys.exit(Exit.FINE if right else Exit.THEY_PART)


@main.command(short_help="Write the draft of the next edition, from the record.")
@click.argument("file", type=FILE)
@click.argument("new", type=FILE)
@click.option("--unfinished", is_flag=True, help="Though steps of FILE are left.")
def again(file: Path, new: Path, *, unfinished: bool) -> None:
    """Write NEW: the draft of the next edition of FILE, with what the record knows of the last."""
    from crossfell.loomside import desk

    with _kept(new):
        number = desk.again(file, new, unfinished=unfinished)
    click.echo(f"{new} written: edition {number}. Next: crossfell check {new}")


@main.command(short_help="Say where it went wrong, and the way back.")
@click.argument("file", type=FILE)
@click.argument("row", nargs=-1)
@click.option("--other-way", multiple=True, help='A pair that crosses otherwise: "a1 b2".')
@click.option("--turned", multiple=True, help="A strip that was turned the other way.")
@click.option("--span", type=int, help="The span that you look at; else the last one.")
@click.option("--band", type=int, help="A band that was woven otherwise; with --picks.")
@click.option("--picks", type=int, help="The picks that it has; without it, its rod is missing.")
@click.option("--weights", help='Two strips with each other\'s weights: "a1 b2".')
@click.option("--keep", "way", flag_value="keep", help="Keep it: write the draft as woven.")
@click.option("--walk", "way", flag_value="walk", help="Be led back, step by step.")
@click.option("--leave", "way", flag_value="leave", help="Do not walk the way back after all.")
def mistake(
    file: Path,
    row: tuple[str, ...],
    other_way: tuple[str, ...],
    turned: tuple[str, ...],
    span: int | None,
    band: int | None,
    picks: int | None,
    weights: str | None,
    way: str | None,
) -> None:
    """Say where it went wrong: ROW is how the strips lie, from the left, - an empty place.

    Put ' after the name of a strip whose back is up. What does not show is said: --turned, --band,
    --weights. Both ways on are told with what they cost: back (--walk), or living with it (--keep).
    """
    from crossfell.loomside import desk

    said = {"span": span, "band": band, "picks": picks, "weights": weights}
    says: dict[str, object] = {name: value for name, value in said.items() if value is not None}
    if row:
        says |= {
            "row": " ".join(row),
            "other_way": ", ".join(other_way),
            "turned": " ".join(turned),
        }
    if not (row or says or way == "leave"):
        stop(Exit.USAGE, "say how the strips lie, or --band, or --weights")
    with _kept(file):
        click.echo(desk.mistake(file, says, way or ""))


@main.command(short_help="Say how drawn and woven differ, and go on from there.")
@click.argument("file", type=FILE)
@click.option("--steps", is_flag=True, help="Also list every step that is to come.")
@click.option("--write", is_flag=True, help="Write it into the draft: as woven, and put right.")
@click.option("--back", is_flag=True, help="Write the text from before back.")
@click.option("--yes", is_flag=True, help="Do not ask before writing.")
def woven(file: Path, *, steps: bool, write: bool, back: bool, yes: bool) -> None:
    """Say how drawn and woven differ, what puts it right or undoes it, and how it goes on.

    [woven] in the draft says how many spans are done; `woven` in a span says how it was really
    made, where that is not as drafted. --write shows what it would change in the draft, and asks.
    """
    from crossfell.loomside import rewriting

    piece = _woven_piece(file)
    if back:
        with _kept(file):
            _write(file, piece.draft.text, rewriting.text_before(file), yes, rewriting.SAYS_BACK)
        return
    _say_woven(piece, steps=steps)
    if write:
        with _kept(file):
            text = rewriting.text_as_woven(piece)
            _write(file, piece.draft.text, text, yes, rewriting.SAYS)


def _woven_piece(file: Path) -> Piece:
    """A piece whose moves, as drafted and as woven, can be made; or the end."""
    piece = piece_of(file)
    wrong = [*piece.draft.notes, *(piece.order.notes if piece.computable else ())]
    wrong += piece.as_woven.notes if piece.computable and piece.as_woven else ()
    if verdict(wrong) is not Exit.FINE:
        tell(piece.draft, wrong)
        sys.exit(Exit.DRAFT_HAS_ERRORS)
    return piece


def _say_woven(piece: Piece, *, steps: bool) -> None:
    from crossfell.plan.woven_words import step_list, woven_text

    if piece.as_woven is None:
        stop(
            Exit.USAGE,
            "nothing is said to be woven: add [woven] with `spans = 3`, or as many as are done",
        )
    here = piece.going_on
    new = [note for note in here.paths.notes if note not in piece.paths.notes]
    click.echo(woven_text(piece.as_woven, piece.draft, piece.plan, here.plan, new))
    if steps:
        click.echo("\n" + step_list(piece.as_woven, here.plan))


def _write(file: Path, before: str, after: str, yes: bool, says: str) -> None:
    """Show what changes in the draft, ask, and write it."""
    from crossfell.loomside import rewriting

    click.echo(f"\nIn {file} this changes:\n\n{rewriting.change_of(before, after)}\n")
    if not yes and not click.confirm("Write it?", default=False):
        click.echo("Nothing was written.", err=True)
        return
    rewriting.write_text(file, after, says=says)
    click.echo(f"{file} written; back with: crossfell woven {file} --back", err=True)


@main.group()
def record() -> None:
    """Copy, export or import the record of a piece."""


@record.command()
@click.argument("file", type=FILE)
@click.argument("to", type=FILE)
def backup(file: Path, to: Path) -> None:
    """Copy the record of FILE, whole and safe while it is in use."""
    from crossfell.loomside import desk

    with _kept(file):
        desk.backup(file, to)
    click.echo(f"{to} written")


@record.command(short_help="Print or pack the whole record of FILE.")
@click.argument("file", type=FILE)
@click.argument("to", type=FILE, required=False)
def export(file: Path, to: Path | None) -> None:
    """Print the whole record of FILE as JSON; or write TO, a ZIP with its photographs.

    The ZIP has record.json, the same as a table in events.csv, and the photographs.
    """
    from crossfell.loomside import carrying, desk

    with _kept(file):
        if to is None:
            click.echo(desk.export(file), nl=False)
            return
        out = carrying.carry_out(file, to)
    click.echo(f"{to} written: {out.events} events, {out.photographs} photographs")
    for path in out.not_there:
        click.echo(f"  not in it, because it is not there: {path}", err=True)


@record.command("import", short_help="Add an exported record to that of FILE.")
@click.argument("file", type=FILE)
@click.argument("exported", type=FILE)
def take_in(file: Path, exported: Path) -> None:
    """Add an exported record, a ZIP or JSON, to that of FILE; nothing is doubled."""
    from crossfell.loomside import carrying

    with _kept(file):
        new = carrying.carry_in(file, exported)
    click.echo(f"{new.events} events taken in, {new.known} were there already")
    if new.photographs:
        click.echo(f"{new.photographs} photographs put back")
    for path in new.kept:
        click.echo(f"  another photograph lies there, and stays: {path}", err=True)


@contextmanager
def _kept(file: Path) -> Iterator[None]:
    """What can go wrong with a record, said in a sentence."""
    from crossfell.loomside.desk import CannotLead, NotSaved, RecordRefused

    try:
        yield
    except CannotLead as problem:
        click.echo(f"crossfell: {problem}", err=True)
        sys.exit(Exit.DRAFT_HAS_ERRORS)
    except (RecordRefused, NotSaved) as problem:
        stop(Exit.FILE, str(problem))
    except ValueError as problem:
        stop(Exit.USAGE, str(problem))
    except OSError as problem:
        stop(Exit.FILE, f"{problem.filename or file}: {problem.strerror or problem}")

"""The command line: thin commands over the piece.

Exit codes: 0 fine, 1 the draft has errors, 2 usage, 3 a file could not be read or written,
4 two drafts are not the same, 70 our own fault.
"""

from __future__ import annotations

import os
import sys
from contextlib import contextmanager
from datetime import datetime, timedelta
from enum import IntEnum
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from crossfell import __version__

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from crossfell.base.notes import Note
    from crossfell.draft.model import Draft
    from crossfell.piece import Piece


class Exit(IntEnum):
    """What the shell is told."""

    FINE = 0
    DRAFT_HAS_ERRORS = 1
    USAGE = 2
    FILE = 3
    THEY_PART = 4
    OUR_FAULT = 70


FILE = click.Path(dir_okay=False, path_type=Path)


@click.group(
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="""\b
A first evening:
  crossfell new low-water.toml       a commented draft to start from
  crossfell check low-water.toml     what is wrong or doubtful
  crossfell make low-water.toml      pictures, papers, facts, in low-water.made/
  crossfell why low-water.toml units.a1.winding_length

\b
Completion of commands: for bash, add this line to ~/.bashrc
  eval "$(_CROSSFELL_COMPLETE=bash_source crossfell)"
(zsh_source for zsh, fish_source for fish.)""",
)
@click.version_option(__version__, prog_name="crossfell")
def main() -> None:
    """Crossfell takes a wall hanging of many narrow crossing warps from a draft to the wall.

    A piece is one text file, the draft; what the workshop owns can stand in workshop.toml
    beside it, or in the folder above.
    """


@main.command()
@click.argument("file", type=FILE)
def new(file: Path) -> None:
    """Write a commented draft to start from."""
    from crossfell.draft.start import STARTER

    try:
        with file.open("x", encoding="utf-8") as out:
            out.write(STARTER)
    except FileExistsError:
        _stop(Exit.FILE, f"{file} is already there; nothing was written")
    except OSError as problem:
        _stop(Exit.FILE, f"{file} could not be written: {problem.strerror}")
    click.echo(f"{file} written. Next: crossfell check {file}")


@main.command()
@click.argument("file", type=FILE)
def check(file: Path) -> None:
    """Say what is wrong or doubtful, most serious first."""
    piece = _piece(file)
    _tell(piece.draft, _notes(piece))
    sys.exit(_verdict(piece.notes))


@main.command()
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
        _stop(Exit.USAGE, f"no such part: {', '.join(unknown)}; there are {', '.join(PARTS)}")
    piece = _piece(file)
    _tell(piece.draft, _notes(piece))
    if _verdict(piece.notes) is not Exit.FINE:
        click.echo("Nothing was made: the draft has errors.", err=True)
        sys.exit(Exit.DRAFT_HAS_ERRORS)
    folder = into or file.with_suffix(".made")
    try:
        with _progress(wanted) as said:
            made = make_all(piece, folder, wanted, said)
    except OSError as problem:
        _stop(Exit.FILE, f"{folder} could not be written: {problem.strerror}")
    width = max(len(str(path)) for path, _ in made)
    click.echo(f"\n{piece.draft.about.title}: look first at {made[0][0]}\n")
    for path, says in made:
        click.echo(f"  {path!s:{width}}  {says}")


@main.command()
@click.argument("file", type=FILE)
@click.option("--json", "as_json", is_flag=True, help="As JSON, for other programs.")
def facts(file: Path, *, as_json: bool) -> None:
    """Print every computed number."""
    from crossfell.facts.build import as_text, facts_of, written

    piece = _piece(file)
    table = facts_of(piece)
    click.echo(written(table) if as_json else as_text(table), nl=not as_json)
    sys.exit(_verdict(piece.notes))


@main.command()
@click.argument("file", type=FILE)
@click.argument("what", required=False)
def why(file: Path, what: str | None) -> None:
    """Say how a number came about: draft lines, rule, formula, source, the values put in.

    WHAT is the way to a number in the facts, as units.a1.winding_length or spans.3.max_lean;
    without it, the numbers that can be asked for are listed.
    """
    from crossfell.facts.why import Unknown, because, can_be_asked, told

    piece = _piece(file)
    if what is None:
        click.echo("\n".join(can_be_asked(piece)))
        return
    answer = because(piece, what)
    if isinstance(answer, Unknown):
        _stop(Exit.USAGE, answer.says)
    click.echo(told(answer, piece.draft))


@main.command()
@click.argument("folder", type=click.Path(file_okay=False, path_type=Path), default=".")
@click.option("--port", type=click.IntRange(0, 65535), help="Another port than the first free one.")
@click.option("--no-browser", is_flag=True, help="Only print the address.")
@click.option("--share", is_flag=True, help="Also for a tablet on this network, paired by a code.")
def studio(folder: Path, port: int | None, *, no_browser: bool, share: bool) -> None:
    """Open the studio in the browser, on the drafts of FOLDER (or of this one)."""
    from crossfell.studio.serve import run_studio

    try:
        run_studio(folder, said=click.echo, port=port, open_browser=not no_browser, share=share)
    except OSError as problem:
        says = problem.strerror or problem
        _stop(Exit.FILE, f"the studio of {folder} could not be opened: {says}")


@main.command()
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


@main.command()
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


@main.command()
@click.argument("file", type=FILE)
@click.argument("photo", type=FILE)
def look(file: Path, photo: Path) -> None:
    """Compare a photograph of the batten with how it must lie now, by the marks of its labels."""
    from crossfell.loomside import desk

    with _kept(photo):
        right, text = desk.look(file, photo)
    click.echo(text)
    sys.exit(Exit.FINE if right else Exit.THEY_PART)


@main.command()
@click.argument("file", type=FILE)
@click.argument("new", type=FILE)
def again(file: Path, new: Path) -> None:
    """Write NEW: the draft of the next edition of FILE, with what the record knows of the last."""
    from crossfell.loomside import desk

    with _kept(new):
        number = desk.again(file, new)
    click.echo(f"{new} written: edition {number}. Next: crossfell check {new}")


@main.command()
@click.argument("file", type=FILE)
@click.argument("row", nargs=-1, required=True)
@click.option("--other-way", multiple=True, help='A pair that crosses otherwise: "a1 b2".')
@click.option("--span", type=int, help="The span that you look at; else the last one.")
@click.option("--keep", is_flag=True, help="Keep it: write the draft as woven.")
def mistake(
    file: Path, row: tuple[str, ...], other_way: tuple[str, ...], *, span: int | None, keep: bool
) -> None:
    """Say where it went wrong: ROW is how the strips lie, from the left, - an empty place.

    Put ' after the name of a strip whose back is up.
    """
    from crossfell.loomside import desk

    with _kept(file):
        click.echo(desk.mistake(file, row, other_way, span=span, keep=keep))


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


@record.command()
@click.argument("file", type=FILE)
def export(file: Path) -> None:
    """Print the whole record of FILE as JSON."""
    from crossfell.loomside import desk

    with _kept(file):
        click.echo(desk.export(file), nl=False)


@record.command("import")
@click.argument("file", type=FILE)
@click.argument("exported", type=FILE)
def take_in(file: Path, exported: Path) -> None:
    """Add an exported record to that of FILE; what is there already is not doubled."""
    from crossfell.loomside import desk

    with _kept(file):
        new, known = desk.take_in(file, exported)
    click.echo(f"{new} events taken in, {known} were there already")


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
        _stop(Exit.FILE, str(problem))
    except ValueError as problem:
        _stop(Exit.USAGE, str(problem))
    except OSError as problem:
        _stop(Exit.FILE, f"{problem.filename or file}: {problem.strerror or problem}")


@main.command()
@click.argument("a", type=FILE)
@click.argument("b", type=FILE)
def same(a: Path, b: Path) -> None:
    """Say whether drafts A and B give the same crossings, and if not where they part.

    Compared are crossings and turns, exactly; lengths, places and colours do not matter.
    The exit code is 0 when they are the same and 4 when they part.
    """
    from crossfell.order.same import same_order, told

    one, other = _piece(a), _piece(b)
    for piece in (one, other):
        if not piece.computable or _verdict(piece.order.notes) is not Exit.FINE:
            _tell(piece.draft, piece.notes)
            sys.exit(Exit.DRAFT_HAS_ERRORS)
    verdict = same_order(one.order, other.order)
    click.echo(told(verdict, one.draft, other.draft))
    sys.exit(Exit.FINE if verdict.same else Exit.THEY_PART)


@main.command()
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
    from crossfell.plan import quote_told
    from crossfell.plan.whatif import differences

    piece = _sound(_piece(file))
    now = piece.quote(pieces)
    if changes:
        then = _sound(_changed(piece.draft, changes)).quote(pieces)
        click.echo(quote_told.told_differences(now, differences(now, then)))
        return
    until = (on or datetime.now().astimezone()) + timedelta(days=now.valid_days)
    click.echo(quote_told.told(now, title=piece.draft.about.title, until=f"{until:%Y-%m-%d}"))


@main.command()
@click.argument("file", type=FILE)
@click.option("--cut", is_flag=True, help="It is cut: write what is left into workshop.toml.")
def stock(file: Path, *, cut: bool) -> None:
    """Show what to buy and how to cut it; with --cut, return the off-cuts to stock."""
    from crossfell.papers.make import write_whole
    from crossfell.plan import stock_after, stock_told

    piece = _sound(_piece(file))
    click.echo(stock_told.told(piece.draft, piece.amounts))
    if cut:
        left = stock_after.stock_after(piece.draft, piece.amounts)
        if not piece.draft.workshop_text:
            _stop(Exit.USAGE, "there is no workshop.toml beside this draft to write the stock into")
        workshop = Path(piece.draft.workshop_file)
        text = stock_after.with_stock(piece.draft.workshop_text, left)
        try:
            write_whole(workshop, text.encode("utf-8"))
        except OSError as problem:
            _stop(Exit.FILE, f"{workshop} could not be written: {problem.strerror}")
        click.echo(f"{workshop} written: what is left after cutting", err=True)


@main.command()
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
        draft = _piece(file).draft if file else None
        click.echo(bench.told(bench.answered(trial, given), draft))
    except ValueError as problem:
        _stop(Exit.USAGE, str(problem))


def _sound(piece: Piece) -> Piece:
    """A piece without errors, or the end."""
    if _verdict(piece.notes) is not Exit.FINE:
        _tell(piece.draft, piece.notes)
        sys.exit(Exit.DRAFT_HAS_ERRORS)
    return piece


def _changed(draft: Draft, changes: tuple[str, ...]) -> Piece:
    from crossfell.draft.edit import NotEditable
    from crossfell.piece import Piece
    from crossfell.plan.whatif import with_changes

    try:
        return Piece(with_changes(draft, changes))
    except NotEditable as problem:
        _stop(Exit.USAGE, str(problem))


@main.command()
@click.argument("file", type=FILE)
@click.option("--steps", is_flag=True, help="Also list every step that is to come.")
def woven(file: Path, *, steps: bool) -> None:
    """Say how drawn and woven differ, what puts it right or undoes it, and how it goes on.

    [woven] in the draft says how many spans are done; `woven` in a span says how it was really
    made, where that is not as drafted.
    """
    from crossfell.plan.woven_words import step_list, woven_text

    piece = _piece(file)
    wrong = [*piece.draft.notes, *(piece.order.notes if piece.computable else ())]
    wrong += piece.as_woven.notes if piece.computable and piece.as_woven else ()
    if _verdict(wrong) is not Exit.FINE:
        _tell(piece.draft, wrong)
        sys.exit(Exit.DRAFT_HAS_ERRORS)
    if piece.as_woven is None:
        _stop(Exit.USAGE, "nothing is said to be woven: add [woven] with `spans = 3`, or as many")
    here = piece.going_on
    new = [note for note in here.paths.notes if note not in piece.paths.notes]
    click.echo(woven_text(piece.as_woven, piece.draft, piece.plan, here.plan, new))
    if steps:
        click.echo("\n" + step_list(piece.as_woven, here.plan))


@main.command()
@click.argument("file", type=FILE)
@click.option("--runs", default=200, show_default=True, help="With errors of length; 0: none.")
@click.option("--error", type=float, help="Error of a length as a share; else the draft's own.")
def hang(file: Path, runs: int, error: float | None) -> None:
    """Say how it will hang: drift, tilt, slack, ranges of tension, loads on the wall."""
    from rich.console import Console
    from rich.progress import Progress

    from crossfell.search import hanging, spread

    piece, found = _sound(_piece(file)), None
    if runs > 0:
        with Progress(console=Console(stderr=True), transient=True) as bar:
            task = bar.add_task("hanging it with other lengths", total=runs)
            found = spread.spread_of(
                piece, runs=runs, error=error, done=lambda n: bar.advance(task, n)
            )
    click.echo("\n".join(hanging.told(piece, found)))


@main.command()
@click.argument("file", type=FILE)
@click.option("--apply", "number", type=int, help="Write the remedy of this number into the draft.")
def mend(file: Path, number: int | None) -> None:
    """Propose remedies for what swings, drifts or hangs slack, with their effect and cost."""
    from crossfell.papers.make import write_whole
    from crossfell.search import mending, remedies

    piece = _sound(_piece(file))
    found = remedies.remedies_of(piece, lambda what: click.echo(f"trying {what} …", err=True))
    if number is None:
        click.echo("\n".join(mending.told(piece, found)))
        return
    if not 1 <= number <= len(found):
        _stop(Exit.USAGE, f"there is no remedy {number}; there are {len(found)}")
    try:
        write_whole(file, found[number - 1].text.encode("utf-8"))
    except OSError as problem:
        _stop(Exit.FILE, f"{file} could not be written: {problem.strerror}")
    click.echo(f"{file} written: {found[number - 1].says}")


def _piece(file: Path) -> Piece:
    from crossfell.draft.files import read_file
    from crossfell.piece import Piece

    try:
        return Piece(read_file(file))
    except OSError as problem:
        _stop(Exit.FILE, f"{file} could not be read: {problem.strerror or problem}")


def _notes(piece: Piece) -> tuple[Note, ...]:
    """What the piece has to say, and what its papers cannot print."""
    from crossfell.papers.letters import letter_notes

    return (*piece.notes, *letter_notes(piece.draft))


@contextmanager
def _progress(parts: Sequence[str]) -> Iterator[Callable[[str], None]]:
    """A bar over the parts, and what is being made; on a terminal only."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn

    order = [part for part in parts if part]
    columns = (BarColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("beginning …", total=len(order))

        def said(text: str) -> None:
            done = order.index(text.partition(":")[0])
            bar.update(task, description=text, completed=done)

        yield said


def _tell(draft: Draft, notes: Sequence[Note]) -> None:
    from crossfell.base.notes import rendered

    for note in notes:
        click.echo(rendered(note, draft.text_of(note.where.file)) + "\n", err=True)
    counts = {kind: sum(n.severity.value == kind for n in notes) for kind in _KINDS}
    said = [f"{count} {_KINDS[kind][count != 1]}" for kind, count in counts.items() if count]
    title = draft.about.title
    click.echo(f"{title}: {', '.join(said) or 'nothing wrong, nothing doubtful'}", err=True)


_KINDS = {
    "error": ("error", "errors"),
    "doubt": ("doubt", "doubts"),
    "advice": ("piece of advice", "pieces of advice"),
}


def _verdict(notes: Sequence[Note]) -> Exit:
    bad = any(note.severity.value == "error" for note in notes)
    return Exit.DRAFT_HAS_ERRORS if bad else Exit.FINE


def _stop(code: Exit, says: str) -> NoReturn:
    click.echo(f"crossfell: {says}", err=True)
    sys.exit(code)


def run() -> None:
    """Run the command line; a fault of our own is told with how to report it."""
    try:
        main()
    except Exception as fault:
        if os.environ.get("CROSSFELL_TRACEBACK"):
            raise
        click.echo(
            f"crossfell: our own fault: {type(fault).__name__}: {fault}\n"
            "Your draft is unchanged. Please send us the draft and this message;\n"
            "CROSSFELL_TRACEBACK=1 before the command shows where it happened.",
            err=True,
        )
        sys.exit(Exit.OUR_FAULT)

"""How do the moves of a run of spans become a figure, or are mirrored, reversed, taken backwards?

Spans are numbered from 1 and both ends of a run count. `places` is a pair of first and last place;
without it a run is taken whole. Figures that run on from below the run are left alone.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from crossfell.draft.edit_keys import new_table
from crossfell.draft.edit_moves import Item, add_move, listed_at, remove_move, way_of_site
from crossfell.draft.edit_spans import blocks, ended
from crossfell.draft.kinds import RESERVED, Said, Widths
from crossfell.draft.moves import Unread, parsed
from crossfell.draft.reader import read_draft
from crossfell.draft.script import NotEditable, Script, as_toml, comment_kept, opened, spliced

Places = tuple[int, int]
Step = tuple[int, int, Item, Said]  # span and number of the move, where it stands, what it is

_NAME = re.compile(r"[^\W\d][\w-]*")


def make_figure(text: str, name: str, first: int, last: int, places: Places | None = None) -> str:
    """Make a figure of the moves of a run of spans, and lay it where they were.

    Only moves within `places` are taken, when they are named; a move that goes beyond them is
    refused. The crossings stay exactly the same. Errors: NotEditable.
    """
    script = opened(text)
    checked_name(script, "figure", name)
    widths = widths_of(script)
    steps = _steps(script, (first, last), places, widths)
    if not steps:
        raise NotEditable("no move lies here; a figure needs one")
    low = places[0] if places else min(step.reach(widths)[0] for *_, step in steps)
    high = places[1] if places else max(step.reach(widths)[1] for *_, step in steps)
    rows: list[list[str]] = [[] for _ in range(first, last + 1)]
    for span, *_, step in steps:
        rows[span - first].append(step.moved(1 - low).text())
    script = opened(_laid(text, steps, f"{name} at {low}", first))
    keys = {"places": str(high - low + 1), "spans": _rows(rows, script.newline)}
    return spliced(script, [new_table(script, ("figure", name), keys)])


def mirror(text: str, first: int, last: int, places: Places | None = None) -> str:
    """Mirror the moves of a run of spans left to right, in the whole warp or within places."""
    script = opened(text)
    widths = widths_of(script)
    ends = sum(places) if places else 1 + _place_count(script)
    return _rewritten(
        script, (first, last), places, lambda step: known(step, widths).mirrored(ends, widths)
    )


def reverse(text: str, first: int, last: int, places: Places | None = None) -> str:
    """Exchange over and under, and the sides of turns and rolls, in a run of spans."""
    return _rewritten(opened(text), (first, last), places, Said.exchanged)


def backwards(text: str, first: int, last: int) -> str:
    """Put a run of spans in the opposite order, each with its height and its remarks.

    Errors: NotEditable, also when a figure in the run is higher than one span.
    """
    script = opened(text)
    for _, _, item, step in _steps(script, (first, last), None, widths_of(script)):
        if step.figure and _high(script, step.figure):
            raise NotEditable(f"`{item.text}` runs on through several spans")
    run = blocks(script)[first - 1 : last]
    own = [ended(script, block) for block in run]
    swaps = zip(run, reversed(own), strict=True)
    return spliced(script, [(block.start, block.end, new) for block, new in swaps])


def checked_name(script: Script, family: str, name: str) -> None:
    """Refuse a name that cannot be one, or is taken. Errors: NotEditable."""
    if not _NAME.fullmatch(name) or name in RESERVED:
        raise NotEditable(
            f"{name} cannot be the name of a {family}: it is a word of the moves, "
            "or has other signs than letters and numbers"
        )
    if script.at((family, name)) is not None:
        raise NotEditable(f"there is a {family} {name} already")


def _steps(
    script: Script, run: tuple[int, int], places: Places | None, widths: Widths
) -> list[Step]:
    """The moves of a run of spans, those within the places. Errors: NotEditable."""
    if run[1] < run[0]:
        raise NotEditable(f"a run of spans goes up, not from {run[0]} to {run[1]}")
    steps = []
    for span in range(run[0], run[1] + 1):
        listed = listed_at(script, way_of_site(script, span))
        for number, item in enumerate(listed.items if listed else (), 1):
            read = parsed(item.text)
            if isinstance(read, Unread):
                raise NotEditable(f"`{item.text}` in span {span} is not a move")
            if _is_within(known(read[0], widths).touched(widths), places, item, span):
                steps.append((span, number, item, read[0]))
    return steps


def _is_within(move: Places, places: Places | None, item: Item, span: int) -> bool:
    """Whether a move lies within places. Errors: NotEditable when just a part of it does."""
    if places is None:
        return True
    low, high = move
    if low < places[0] <= high or low <= places[1] < high:
        raise NotEditable(
            f"`{item.text}` in span {span} reaches across the edge of places "
            f"{places[0]}-{places[1]}; take more places"
        )
    return places[0] <= low <= places[1]


def _laid(text: str, steps: list[Step], laying: str, first: int) -> str:
    """The text without these moves, and with the figure laid where the first was."""
    at = min((number for span, number, *_ in steps if span == first), default=None)
    for span, number, *_ in reversed(steps):
        text = remove_move(text, span, number)
    return add_move(text, first, laying, before=at)


def _rewritten(
    script: Script,
    run: tuple[int, int],
    places: Places | None,
    change: Callable[[Said], list[Said]],
) -> str:
    splices = []
    for span, _, item, step in _steps(script, run, places, widths_of(script)):
        changed = change(step)
        for new in changed:
            if new.blocks and new.reach({})[0] < 1:
                raise NotEditable(f"`{new.text()}` in span {span} would lie left of place 1")
        said = ", ".join(new.text() for new in changed)
        splices += [(item.start, item.end, said)]
        splices += comment_kept(script, item.end, len(said) - len(item.text))
    return spliced(script, splices)


def known(step: Said, widths: Widths) -> Said:
    """The move, if the draft has the figure that it lays. Errors: NotEditable."""
    if step.figure and step.figure not in widths:
        raise NotEditable(f"figure {step.figure} is not in this draft")
    return step


def _rows(rows: list[list[str]], newline: str) -> str:
    texts = [as_toml(", ".join(row)) for row in rows]
    one_line = f"[{', '.join(texts)}]"
    if len(one_line) <= 88:
        return one_line
    return f"[{newline}" + "".join(f"    {text},{newline}" for text in texts) + "]"


def widths_of(script: Script) -> dict[str, int]:
    """Places that each figure of the draft takes."""
    figures = script.at(("figure",))
    pairs = figures.items() if isinstance(figures, dict) else ()
    return {
        name: table["places"]
        for name, table in pairs
        if isinstance(table, dict) and isinstance(table.get("places"), int)
    }


def _high(script: Script, name: str) -> bool:
    """Whether a figure is higher than one span, with the figures in it."""
    rows = script.at(("figure", name, "spans"))
    if not isinstance(rows, list) or len(rows) != 1:
        return True
    read = parsed(str(rows[0]).replace("\n", ","))
    inner = [] if isinstance(read, Unread) else read
    return any(step.figure and _high(script, step.figure) for step in inner)


def _place_count(script: Script) -> int:
    count = read_draft(script.text).place_count
    if not count or script.at(("warp",)) is None:
        raise NotEditable("the draft has no [warp] to be mirrored in")
    return count

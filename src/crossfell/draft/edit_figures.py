"""How does a part of a draft become a figure, or its mirror image, as text?

Moves are taken as they are written. A move that lies wholly within the chosen places is taken
along; one that lies wholly outside stays; one that reaches across the edge is refused, for nobody
could say on which side it belongs. Mirrored: place p becomes first + last − p, left and right
change; reversed: over and under change, and the side of turns and rolls. See the glossary.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from crossfell.draft.edit_keys import add_table
from crossfell.draft.edit_moves import moves_of, set_moves
from crossfell.draft.moves import (
    CrossText,
    FigureText,
    MoveText,
    PlaitText,
    ShiftText,
    TurnText,
    Unread,
    parsed,
)
from crossfell.draft.reader import read_draft
from crossfell.draft.script import NotEditable, opened

Pair = tuple[int, int]
Place = Callable[[int, int], Pair]


def figure_made(text: str, name: str, *, spans: Pair, places: Pair) -> str:
    """Make a figure of what spans `spans` do in `places`, and lay it there instead.

    Errors: NotEditable, when a move reaches across the edge or the name is taken.
    """
    first, last = places
    rows, kept = [], []
    for span in range(spans[0], spans[1] + 1):
        inside, outside = _parted(text, span, places)
        rows.append(", ".join(_placed(move, text, 1 - first) for move in inside))
        kept.append(outside)
    if not any(rows):
        raise NotEditable("no move lies within these places; a figure needs one")
    if opened(text).at(("figure", name)) is not None:
        raise NotEditable(f"there is a figure {name} already")
    for k, outside in enumerate(kept):
        laid = [f"{name} at {first}"] if k == 0 else []
        text = set_moves(text, spans[0] + k, [*laid, *outside])
    made = add_table(text, "figure", name, {"places": last - first + 1, "spans": rows})
    codes = {note.code for note in read_draft(made).notes}
    if "not-a-figure-name" in codes:
        raise NotEditable(f"{name} cannot be the name of a figure: letters and numbers, no blanks")
    return made


def spans_changed(text: str, spans: Pair, places: Pair, *, mirror: bool, reverse: bool) -> str:
    """Mirror, or reverse, what spans do within places. Errors: NotEditable."""
    for span in range(spans[0], spans[1] + 1):
        _parted(text, span, places)
        moves = [
            _turned(move, text, places, mirror=mirror, reverse=reverse)
            if _within(_one(move), text, places)
            else move
            for move in moves_of(text, span)
        ]
        text = set_moves(text, span, moves)
    return text


def _parted(text: str, span: int, places: Pair) -> tuple[list[str], list[str]]:
    inside, outside = [], []
    for move in moves_of(text, span):
        reach = _reach(_one(move), text)
        if places[0] <= reach[0] and reach[1] <= places[1]:
            inside.append(move)
        elif reach[1] < places[0] or places[1] < reach[0]:
            outside.append(move)
        else:
            raise NotEditable(
                f"`{move}` in span {span} reaches across the edge of places "
                f"{places[0]}-{places[1]}; take more places"
            )
    return inside, outside


def _within(read: MoveText, text: str, places: Pair) -> bool:
    first, last = _reach(read, text)
    return places[0] <= first and last <= places[1]


def _one(move: str) -> MoveText:
    read = parsed(move)
    if isinstance(read, Unread) or len(read) != 1:
        raise NotEditable(f"`{move}` cannot be read; set it right first")
    return read[0]


def _reach(read: MoveText, text: str) -> Pair:
    """First and last place that a move has to do with."""
    if isinstance(read, CrossText):
        blocks = (read.first, read.second)
        return min(b.first for b in blocks), max(b.last for b in blocks)
    if isinstance(read, FigureText):
        return read.at, read.at + _width(read, text) - 1
    first, last = read.block.first, read.block.last
    if isinstance(read, ShiftText):
        return min(first, first + read.places), max(last, last + read.places)
    return first, last


def _width(read: FigureText, text: str) -> int:
    width = opened(text).at(("figure", read.name, "places"))
    if not isinstance(width, int):
        raise NotEditable(f"there is no figure {read.name} in this draft")
    return width


def _placed(move: str, text: str, by: int) -> str:
    """The move, its places moved by a number."""
    return _written(_one(move), text, lambda a, b: (a + by, b + by))


def _turned(move: str, text: str, places: Pair, *, mirror: bool, reverse: bool) -> str:
    total = places[0] + places[1]
    if mirror:
        return _written(_one(move), text, lambda a, b: (total - b, total - a), mirror=True)
    return _written(_one(move), text, lambda a, b: (a, b), reverse=reverse)


def _written(
    read: MoveText, text: str, place: Place, *, mirror: bool = False, reverse: bool = False
) -> str:
    if isinstance(read, CrossText):
        one, two = (_block(*place(b.first, b.last)) for b in (read.first, read.second))
        return f"{one} {'over' if read.over != reverse else 'under'} {two}"
    if isinstance(read, FigureText):
        at, _ = place(read.at, read.at + _width(read, text) - 1)
        words = {
            "mirrored": read.mirrored != mirror,
            "backwards": read.backwards,
            "reversed": read.reversed != reverse,
        }
        return " ".join([f"{read.name} at {at}", *(word for word, yes in words.items() if yes)])
    block = _block(*place(read.block.first, read.block.last))
    if isinstance(read, PlaitText):
        return _plaited(read, place, mirror=mirror, reverse=reverse)
    if isinstance(read, TurnText):
        right = (read.half_turns > 0) != (mirror or reverse)
        count = abs(read.half_turns)
        more = {1: "", 2: " twice"}.get(count, f" {count} times")
        return f"{'roll' if read.as_one else 'turn'} {block} {'right' if right else 'left'}{more}"
    amount = read.places or read.length_mm
    right = (amount > 0) != mirror
    by = str(abs(read.places)) if read.places else f"{abs(read.length_mm):g} mm"
    return f"shift {block} {'right' if right else 'left'} {by}"


def _plaited(read: PlaitText, place: Place, *, mirror: bool, reverse: bool) -> str:
    """A plait; its mirror image or its reverse is no plait of ours and is written as crossings."""
    first, last = read.block.first, read.block.last
    if not mirror and not reverse:
        return f"plait {_block(*place(first, last))}"
    said = []
    for start, over in ((first, True), (first + 1, False)):
        for a, b in list(pairwise(range(start, last + 1)))[::2]:
            one, two = place(a, a)[0], place(b, b)[0]
            said.append(f"{one} {'over' if over != reverse else 'under'} {two}")
    return ", ".join(said)


def _block(first: int, last: int) -> str:
    return str(first) if first == last else f"{first}-{last}"

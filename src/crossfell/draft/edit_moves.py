"""How is a move of a span, or of a figure, added, changed or taken out?

A list of moves is text: on one line with commas, or on several lines, with remarks. Each edit
touches one move and the comma or line end that goes with it. Moves, spans and a figure's spans
are numbered from 1.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

from crossfell.draft.edit_keys import setting
from crossfell.draft.moves import Unread, parsed
from crossfell.draft.script import (
    NotEditable,
    Script,
    Splice,
    as_toml,
    comment_kept,
    opened,
    spliced,
)
from crossfell.draft.whereabouts import Way

Site = int | tuple[str, int]  # a span by its number, or a figure's name and the number of its span

_ITEM = re.compile(r"[^,\s](?:[^,]*[^,\s])?")
_QUOTES = {'"""', "'''"}


@dataclass(frozen=True, slots=True)
class Item:
    """One move as written, and where it stands in the text (characters from 0)."""

    text: str
    start: int
    end: int
    line: int  # of its list, from 0


@dataclass(frozen=True, slots=True)
class MoveList:
    """The moves of one span as written."""

    start: int  # inside the quotes
    end: int
    several_lines: bool
    items: tuple[Item, ...]


def moves_of(text: str, site: Site) -> tuple[str, ...]:
    """The moves of a span, or of a figure's span, as written. Errors: NotEditable."""
    return tuple(item.text for item in _there(opened(text), site).items)


def add_move(text: str, site: Site, move: str, *, before: int | None = None) -> str:
    """Add a move at the end of a span, or before its move of this number. Errors: NotEditable."""
    script = opened(text)
    way = way_of_site(script, site)
    move = _checked(move)
    listed = listed_at(script, way)
    if listed is None:
        return spliced(script, setting(script, way, as_toml(move)))
    count = len(listed.items)
    if before is None or before == count + 1:
        splices = _at_the_end(script, listed, move)
    else:
        splices = _before(script, listed, _item(listed, before), move)
    return spliced(script, splices)


def change_move(text: str, site: Site, number: int, move: str) -> str:
    """Write another move in place of one. Errors: NotEditable."""
    script = opened(text)
    listed = _there(script, site)
    item = _item(listed, number)
    move = _checked(move)
    growth = len(move) - (item.end - item.start)
    after = item.end if listed.several_lines else _closing(listed)
    kept = comment_kept(script, after, growth)
    return spliced(script, [(item.start, item.end, move), *kept])


def remove_move(text: str, site: Site, number: int) -> str:
    """Take out a move; a remark beside it stays on a line of its own. Errors: NotEditable."""
    script = opened(text)
    listed = _there(script, site)
    item = _item(listed, number)
    beside = [other for other in listed.items if other.line == item.line]
    if len(beside) == 1:
        return spliced(script, [_lone_out(script, listed, item)])
    at = beside.index(item)
    if at + 1 < len(beside):
        return spliced(script, [(item.start, beside[at + 1].start, "")])
    return spliced(script, [(beside[at - 1].end, item.end, "")])


def set_moves(text: str, site: Site, moves: Sequence[str]) -> str:
    """Make the moves of a span these; those that stay the same are left as they stand."""
    old = moves_of(text, site)
    steps = SequenceMatcher(None, old, list(moves), autojunk=False).get_opcodes()
    for tag, first, last, new_first, new_last in reversed(steps):
        if tag == "equal":
            continue
        both = min(last - first, new_last - new_first)
        for k in reversed(range(first + both, last)):
            text = remove_move(text, site, k + 1)
        for move in reversed(moves[new_first + both : new_last]):
            text = add_move(text, site, move, before=first + both + 1)
        for k in range(both):
            text = change_move(text, site, first + k + 1, moves[new_first + k])
    return text


def find_move(text: str, line: int, column: int) -> tuple[Site, int] | None:
    """Which move stands at a line and column (from 1): its span or figure, and its number."""
    script = opened(text)
    starts = [0, *(found.end() for found in re.finditer("\n", text))]
    if not 1 <= line <= len(starts):
        return None
    spot = starts[line - 1] + column - 1
    for way in script.places.ways():
        site = _site_of(way)
        extent = script.places.extent(*way)
        if site is None or extent is None or not extent[0] <= spot < extent[1]:
            continue
        listed = listed_at(script, way)
        for number, item in enumerate(listed.items if listed else (), 1):
            if item.start <= spot < item.end:
                return site, number
    return None


def way_of_site(script: Script, site: Site) -> Way:
    """The way of a list of moves. Errors: NotEditable when there is no such span or figure."""
    if isinstance(site, int):
        spans = script.at(("span",))
        count = len(spans) if isinstance(spans, list) else 0
        if not 1 <= site <= count:
            raise NotEditable(f"there is no span {site}; the draft has {count}")
        return ("span", site - 1, "moves")
    name, row = site
    rows = script.at(("figure", name, "spans"))
    if not isinstance(rows, list):
        raise NotEditable(f"there is no figure {name} in this draft")
    if not 1 <= row <= len(rows):
        raise NotEditable(f"figure {name} has no span {row}; it is {len(rows)} spans high")
    return ("figure", name, "spans", row - 1)


def listed_at(script: Script, way: Way) -> MoveList | None:
    """The list of moves at a way; None when nothing is written. Errors: NotEditable if no text."""
    extent = script.places.extent(*way)
    if extent is None:
        return None
    if not isinstance(script.at(way), str):
        raise NotEditable("the moves here are not text in quotes")
    start, end = extent
    quotes = 3 if script.text[start : start + 3] in _QUOTES else 1
    position, items = start + quotes, []
    for line, row in enumerate(script.text[start + quotes : end - quotes].split("\n")):
        said = row.split("#", 1)[0]
        items += [
            Item(found.group(), position + found.start(), position + found.end(), line)
            for found in _ITEM.finditer(said)
        ]
        position += len(row) + 1
    return MoveList(start + quotes, end - quotes, quotes == 3, tuple(items))


def is_moves(way: Way) -> bool:
    """Whether a list of moves stands at a way: of a span as drafted or as woven, or of a figure."""
    return _site_of(way) is not None or (len(way) == 3 and way[::2] == ("span", "woven"))


def _site_of(way: Way) -> Site | None:
    match way:
        case ("span", int(number), "moves"):
            return number + 1
        case ("figure", str(name), "spans", int(row)):
            return name, row + 1
        case _:
            return None


def _there(script: Script, site: Site) -> MoveList:
    listed = listed_at(script, way_of_site(script, site))
    return listed or MoveList(0, 0, False, ())


def _item(listed: MoveList, number: int) -> Item:
    if not 1 <= number <= len(listed.items):
        raise NotEditable(f"there is no move {number}; there are {len(listed.items)}")
    return listed.items[number - 1]


def _checked(move: str) -> str:
    """A move that can be written in any list. Errors: NotEditable when it is not one."""
    move = move.strip().rstrip(",").rstrip()
    read = parsed(move)
    if isinstance(read, Unread):
        raise NotEditable(f"this is not a move: {read.found}; {read.expected}")
    if not read or "#" in move or "\n" in move:
        raise NotEditable("this is not a move")
    return move


def _closing(listed: MoveList) -> int:
    """Just behind the closing quotes."""
    return listed.end + (3 if listed.several_lines else 1)


def _at_the_end(script: Script, listed: MoveList, move: str) -> list[Splice]:
    nl, text = script.newline, script.text
    if not listed.several_lines:
        new = f", {move}" if listed.items else move
        spot = listed.items[-1].end if listed.items else listed.start
        inside = text[listed.start : listed.end].strip()
        new += " " if inside and not listed.items else ""
        return [(spot, spot, new), *comment_kept(script, _closing(listed), len(new))]
    if listed.items:
        last = listed.items[-1]
        end = min(script.line_end(last.end), listed.end)
        return [(end, end, f"{nl}{_indent(script, listed, last)}{move}")]
    last_line = script.line_start(listed.end)
    if last_line > listed.start and not text[last_line : listed.end].strip():
        return [(last_line, last_line, f"{move}{nl}")]
    return [(listed.end, listed.end, f"{nl}{move}{nl}")]


def _before(script: Script, listed: MoveList, item: Item, move: str) -> list[Splice]:
    first = next(other for other in listed.items if other.line == item.line)
    start = script.line_start(item.start)
    if listed.several_lines and first is item and start >= listed.start:
        return [(start, start, f"{script.text[start : item.start]}{move}{script.newline}")]
    new = f"{move}, "
    if listed.several_lines:
        return [(item.start, item.start, new)]
    return [(item.start, item.start, new), *comment_kept(script, _closing(listed), len(new))]


def _indent(script: Script, listed: MoveList, item: Item) -> str:
    start = script.line_start(item.start)
    if start < listed.start:
        return ""
    line = script.text[start : item.start]
    return line[: len(line) - len(line.lstrip())]


def _lone_out(script: Script, listed: MoveList, item: Item) -> Splice:
    """Take out a move that stands alone on its line, with the line when nothing else is on it."""
    text = script.text
    start = max(script.line_start(item.start), listed.start)
    stop = min(script.line_end(item.end), listed.end)
    rest = text[item.end : stop].lstrip(", \t")
    if rest:
        return (item.start, stop - len(rest), "")
    if not listed.several_lines:
        return (item.start, stop, "")
    if script.next_line(stop) <= listed.end and start == script.line_start(item.start):
        return (start, script.next_line(stop), "")
    if start > listed.start:
        return (script.line_end(script.line_start(start - 1)), stop, "")
    return (item.start, stop, "")

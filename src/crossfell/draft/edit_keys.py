"""How is a key of the draft set, added or taken out, with the layout around it kept?"""

from __future__ import annotations

from collections.abc import Mapping

from crossfell.draft.script import (
    NotEditable,
    Script,
    Splice,
    as_key,
    as_toml,
    comment_kept,
    opened,
    spliced,
    way_of,
)
from crossfell.draft.whereabouts import Extent, Way


def set_key(text: str, path: str, value: object) -> str:
    """Set a key by its dotted path: `yarn.slate.colour`, `span.3.height` (the third span).

    A key that is not there is added below its neighbours, a table that is not there after its
    like. Errors: NotEditable.
    """
    script = opened(text)
    return spliced(script, setting(script, way_of(script, path), as_toml(value)))


def unset_key(text: str, path: str) -> str:
    """Take out a key, so that the workshop's value or the default stands; remarks stay."""
    script = opened(text)
    way = way_of(script, path)
    written, extent = script.places.written(*way), script.places.extent(*way)
    if written is None or extent is None:
        raise NotEditable(f"`{path}` is not written in this draft")
    if _braced(script, way[:-1]):
        return spliced(script, [_out_of_braces(script, (written[0], extent[1]))])
    return spliced(script, [_line_out(script, written[0], extent[1])])


def set_height(text: str, span: int, height: float | str) -> str:
    """Set the height of a span: a number in the draft's measure, or text as `4 1/2 in`."""
    return set_key(text, f"span.{span}.height", height)


def add_yarn(text: str, name: str, **keys: object) -> str:
    """Add a yarn with its keys: `add_yarn(text, "moss", count="lea 16/2", colour="#5b6b4a")`."""
    return add_table(text, "yarn", name, keys)


def add_table(text: str, family: str, name: str, keys: Mapping[str, object]) -> str:
    """Add a table `[family.name]` after the last of its family. Errors: NotEditable."""
    script = opened(text)
    if script.at((family, name)) is not None:
        raise NotEditable(f"there is a {family} {name} already")
    rows = {key: as_toml(value) for key, value in keys.items()}
    return spliced(script, [new_table(script, (family, name), rows)])


def setting(script: Script, way: Way, value: str) -> list[Splice]:
    """Splices that set a key to a value as written in TOML."""
    extent = script.places.extent(*way)
    value = value.replace("\n", script.newline)
    if extent is not None:
        start, end = extent
        growth = len(value) - (end - start)
        return [(start, end, value), *comment_kept(script, end, growth)]
    if script.at(way) is not None:
        raise NotEditable(f"`{_called(way)}` is a table, not a value")
    if isinstance(way[-1], int):
        raise NotEditable(f"`{_called(way)}` is not there")
    return [_adding(script, way, value)]


def _adding(script: Script, way: Way, value: str) -> Splice:
    table, name = way[:-1], as_key(str(way[-1]))
    if _braced(script, table):
        return _into_braces(script, table, f"{name} = {value}")
    there = script.at(table)
    if there is not None and not isinstance(there, dict):
        raise NotEditable(f"`{_called(table)}` is a value, it has no keys")
    if neighbour := _last_pair(script, table):
        return _below(script, neighbour, table, name, value)
    if table == ():
        start = _first_header(script)
        blank = "" if start == len(script.text) else script.newline
        return (start, start, f"{name} = {value}{script.newline}{blank}")
    if header := script.places.written(*table):
        return _after_line(script, header[1], f"{name} = {value}")
    if table[0] == "span" and len(table) > 2:
        return _adding(script, table, f"{{ {name} = {value} }}")
    if not all(isinstance(part, str) for part in table):
        raise NotEditable(f"`{_called(table)}` is not there")
    return new_table(script, table, {str(way[-1]): value})


def _last_pair(script: Script, table: Way) -> tuple[Way, Extent] | None:
    """The last key of a table that is written on a line of its own, and its value's extent."""
    headed = {way for way, _ in script.places.headers}
    found: tuple[Way, Extent] | None = None
    for way in script.places.ways():
        extent, written = script.places.extent(*way), script.places.written(*way)
        if extent is None or written is None or len(way) <= len(table):
            continue
        if way[: len(table)] != table or any(part in headed for part in _between(table, way)):
            continue
        if not any(_braced(script, way[:depth]) for depth in range(len(table) + 1, len(way))):
            found = (way, extent)
    return found


def _between(table: Way, way: Way) -> list[Way]:
    return [way[:depth] for depth in range(len(table) + 1, len(way) + 1)]


def _below(
    script: Script, neighbour: tuple[Way, Extent], table: Way, name: str, value: str
) -> Splice:
    """A line below a neighbour, written like it: its indent, its prefix, its column of `=`."""
    way, (_, end) = neighbour
    written = script.places.written(*way) or (0, 0)
    start = script.line_start(written[0])
    before = script.text[start : written[0]]
    prefix = _prefix(script, table, written)
    equals = script.text.index("=", written[1])
    width = equals - written[0]
    pad = " " * max(width - len(prefix) - len(name), 1)
    return _after_line(script, end, f"{before}{prefix}{name}{pad}= {value}")


def _prefix(script: Script, table: Way, written: Extent) -> str:
    """What stands before the last name of a dotted key: `piece.` in `piece.title`."""
    for way, (start, _) in script.places.names:
        if len(way) == len(table) + 1 and way[:-1] == table and written[0] <= start < written[1]:
            return script.text[written[0] : start]
    return ""


def _after_line(script: Script, position: int, line: str) -> Splice:
    end = script.next_line(position)
    if end == len(script.text) and not script.text.endswith("\n"):
        return (end, end, f"{script.newline}{line}")
    return (end, end, f"{line}{script.newline}")


def _first_header(script: Script) -> int:
    """Where the first table begins, its remark included."""
    headers = script.places.headers
    return lead(script, headers[0][1][0]) if headers else len(script.text)


def lead(script: Script, header: int) -> int:
    """Where the remark directly above a header begins; the header's line when there is none."""
    start = script.line_start(header)
    ends = (extent[1] for way in script.places.ways() if (extent := script.places.extent(*way)))
    floor = max((end for end in ends if end <= header), default=0)
    while start:
        above = script.line_start(start - 1)
        if above < floor or not script.text[above:start].lstrip().startswith("#"):
            break
        start = above
    return start


def own_end(script: Script, header: int, until: int) -> int:
    """Where a table that begins at a header ends: after its last key and what is remarked there.

    `until` is where the next table begins.
    """
    end = header
    for way in script.places.ways():
        extent = script.places.extent(*way)
        if extent and header <= extent[0] < until:
            end = max(end, extent[1])
    for _, (start, stop) in script.places.headers:
        if header <= start < until:
            end = max(end, stop)
    end = script.next_line(end)
    while end < until:
        after = min(script.next_line(end), until)
        if not script.text[end:after].lstrip().startswith("#"):
            break
        end = after
    return min(end, until)


def new_table(script: Script, table: Way, rows: Mapping[str, str]) -> Splice:
    """A new table, of values as written: after its family, else before any figure or span."""
    width = max(map(len, map(as_key, rows)), default=0)
    nl = script.newline
    lines = [f"[{'.'.join(as_key(str(part)) for part in table)}]"]
    lines += [f"{as_key(name):{width}} = {value}" for name, value in rows.items()]
    block = "".join(line + nl for line in lines)
    headers = script.places.headers
    for k in reversed(range(len(headers))):
        way, (start, _) = headers[k]
        if way[0] == table[0]:
            more = k + 1 < len(headers)
            until = lead(script, headers[k + 1][1][0]) if more else len(script.text)
            end = own_end(script, start, until)
            gap = nl if end == 0 or script.text[end - 1 : end] == "\n" else nl + nl
            return (end, end, gap + block)
    for way, (start, _) in headers:
        if way[0] in {"figure", "span"}:
            spot = lead(script, start)
            return (spot, spot, block + nl)
    end = len(script.text)
    gap = "" if not script.text.strip() else nl if script.text.endswith("\n") else nl + nl
    return (end, end, gap + block)


def _braced(script: Script, table: Way) -> bool:
    extent = script.places.extent(*table) if table else None
    return extent is not None and script.text[extent[0]] == "{"


def _into_braces(script: Script, table: Way, pair: str) -> Splice:
    start, end = script.places.extent(*table) or (0, 0)
    inside = script.text[start + 1 : end - 1]
    spot = start + 1 + len(inside.rstrip())
    if not inside.strip():
        return (start + 1, end - 1, f" {pair} ")
    return (spot, spot, f", {pair}")


def _out_of_braces(script: Script, pair: Extent) -> Splice:
    start, end = pair
    text = script.text
    after = end + len(text[end:]) - len(text[end:].lstrip())
    if text[after] == ",":
        return (start, after + 1 + (text[after + 1] == " "), "")
    before = len(text[:start].rstrip())
    return (before - 1, end, "") if text[before - 1] == "," else (start, end, "")


def _line_out(script: Script, start: int, end: int) -> Splice:
    """Take out a pair and its line; a remark behind it stays."""
    rest = script.text[end : script.line_end(end)]
    if rest.strip():
        return (start, end + len(rest) - len(rest.lstrip()), "")
    return (script.line_start(start), script.next_line(end), "")


def _called(way: Way) -> str:
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in way)

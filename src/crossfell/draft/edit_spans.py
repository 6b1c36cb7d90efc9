"""How is a span put in, copied, taken out or moved, with its remarks?

The remark directly above `[[span]]` and whatever is written below it, up to an empty line, belong
to the span and go where it goes. A remark between empty lines belongs to nobody and stays.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.draft.edit_keys import lead, own_end
from crossfell.draft.script import NotEditable, Script, Splice, as_toml, opened, spliced


@dataclass(frozen=True, slots=True)
class SpanText:
    """A span's own text, and where what comes next begins (characters from 0)."""

    start: int
    end: int
    until: int


def insert_span(text: str, at: int, height: float | str, moves: Sequence[str] = ()) -> str:
    """Put in a new span that becomes number `at`. Errors: NotEditable."""
    script = opened(text)
    nl = script.newline
    listed = ", ".join(moves)
    written = f'"""{nl}{nl.join(moves)}{nl}"""' if len(listed) > 70 else as_toml(listed)
    rows = {"height": as_toml(height), **({"moves": written} if moves else {})}
    width = _width(script)
    lines = ["[[span]]", *(f"{name:{width}} = {value}" for name, value in rows.items())]
    return _put(script, at, "".join(line + nl for line in lines))


def copy_span(text: str, span: int, at: int | None = None) -> str:
    """Put in a copy of a span that becomes number `at`: below the span when nothing is said."""
    script = opened(text)
    block = _block(script, span)
    return _put(script, span + 1 if at is None else at, ended(script, block))


def delete_span(text: str, span: int) -> str:
    """Take out a span. Errors: NotEditable, when it is the only one."""
    script = opened(text)
    block = _block(script, span)
    if len(blocks(script)) == 1:
        raise NotEditable("a draft needs a span")
    return spliced(script, [_out(script, block)])


def move_span(text: str, span: int, to: int) -> str:
    """Move a span so that it becomes number `to`. Errors: NotEditable."""
    script = opened(text)
    block = _block(script, span)
    count = len(blocks(script))
    if not 1 <= to <= count:
        raise NotEditable(f"the draft has spans 1 to {count}, no {to}")
    if to == span:
        return text
    own = ended(script, block)
    out = opened(spliced(script, [_out(script, block)]))
    return _put(out, to, own)


def blocks(script: Script) -> list[SpanText]:
    """The text of every span, in order. Errors: NotEditable when they are written otherwise."""
    spans = script.at(("span",))
    count = len(spans) if isinstance(spans, list) else 0
    headers = script.places.headers
    found = []
    for k, (way, (start, _)) in enumerate(headers):
        if len(way) == 2 and way[0] == "span":
            inner = (j for j in range(k + 1, len(headers)) if headers[j][0][:2] != way)
            after = next(inner, None)
            end = len(script.text)
            until = end if after is None else lead(script, headers[after][1][0])
            found.append(SpanText(lead(script, start), own_end(script, start, until), until))
    if len(found) != count:
        raise NotEditable("spans can be edited when each is written as `[[span]]`")
    return found


def _block(script: Script, span: int) -> SpanText:
    found = blocks(script)
    if not 1 <= span <= len(found):
        raise NotEditable(f"there is no span {span}; the draft has {len(found)}")
    return found[span - 1]


def ended(script: Script, block: SpanText) -> str:
    """A span's own text, with a line end."""
    own = script.text[block.start : block.end]
    return own if own.endswith("\n") else own + script.newline


def _put(script: Script, at: int, block: str) -> str:
    found = blocks(script)
    nl = script.newline
    if not 1 <= at <= len(found) + 1:
        raise NotEditable(f"a span can become number 1 to {len(found) + 1}, not {at}")
    if at <= len(found):
        start = found[at - 1].start
        return spliced(script, [(start, start, block + _between(script, found))])
    if found:
        end = found[-1].end
        gap = "" if script.text[:end].endswith("\n") else nl
        return spliced(script, [(end, end, gap + _between(script, found) + block)])
    end = len(script.text)
    gap = "" if not script.text else nl if script.text.endswith("\n") else nl + nl
    return spliced(script, [(end, end, gap + block)])


def _between(script: Script, found: Sequence[SpanText]) -> str:
    """An empty line between spans, unless this draft writes them without."""
    tight = len(found) > 1 and found[0].end == found[1].start
    return "" if tight else script.newline


def _out(script: Script, block: SpanText) -> Splice:
    """Take out a block with the empty lines below it; at the end of the text, those above it."""
    start, end = block.start, block.end
    while end < block.until and not script.text[end : script.next_line(end)].strip():
        end = script.next_line(end)
    if end == len(script.text):
        while start and not script.text[script.line_start(start - 1) : start].strip():
            start = script.line_start(start - 1)
    return (start, end, "")


def _width(script: Script) -> int:
    """Column of `=` in this draft's spans."""
    for way, (start, _) in script.places.names:
        if way[0] == "span" and way[-1] == "height":
            line = script.text[start : script.line_end(start)]
            return len(line.split("=", 1)[0]) - 1
    return len("height")

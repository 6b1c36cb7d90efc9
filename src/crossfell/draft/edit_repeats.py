"""How does a repeat become the spans that it stands for, so that one of them can be changed?

Edits name a span by its number in the piece. One that touches a repeated span, or a span that a
repeat takes up, first writes that repeat out, so that only what is named changes; other repeats
stay. Copies keep height, band, name, note and remarks; what was really woven stays with the span
that it was said of.
Checked: tests/draft/test_repeats.py (a draft written out reads as before).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import wraps
from inspect import signature
from typing import Any, ParamSpec, TypeVar

from crossfell.base.quantities import NotAQuantity
from crossfell.draft.edit_keys import lead, own_end, unset_key
from crossfell.draft.edit_moves import listed_at
from crossfell.draft.edit_runs import known, widths_of
from crossfell.draft.edit_spans import SpanText, blocks, ended
from crossfell.draft.kinds import Said, Widths
from crossfell.draft.moves import Unread, parsed
from crossfell.draft.reader import read_draft
from crossfell.draft.repeats import Change, Repeating, TooMany, WovenSpan, change_of, woven_rows
from crossfell.draft.script import NotEditable, Script, comment_kept, opened, spliced
from crossfell.draft.spanning import MOST_SPANS

P = ParamSpec("P")
T = TypeVar("T")

_REPEAT = re.compile(r"(?m)^[ \t]*\[\[[ \t]*repeat[ \t]*\]\]")
_SPAN = re.compile(r"span\.(?P<number>\d+)(?=\.|$)")
_NUMBERS = ("site", "span", "at", "to", "first", "last")  # of spans, as edits call them


@dataclass(frozen=True)
class _Woven:
    """A text with its spans in weaving order."""

    script: Script
    rows: Sequence[WovenSpan]
    repeats: Sequence[Repeating]

    def written(self, number: int) -> int:
        """Which span of the text the span of this number is; for a new one, which it becomes."""
        before = self.rows[: number - 1]
        return number - sum(row.repeat is not None for row in before)

    def number(self, written: int) -> int:
        """The number of a span of the text, in the piece."""
        row = WovenSpan(written - 1)
        return self.rows.index(row) + 1 if row in self.rows else written

    def met(self, numbers: Collection[int]) -> set[int]:
        """Repeats (from 0) that take up, or make, one of these spans."""
        met = set()
        for k, repeat in enumerate(self.repeats):
            made = [n for n, row in enumerate(self.rows, 1) if row.repeat == k]
            if any(made[0] - repeat.spans <= number <= made[-1] for number in numbers):
                met.add(k)
        return met


def has_repeats(text: str) -> bool:
    """Whether a draft may have repeats; quick."""
    return _REPEAT.search(text) is not None


def repeat_count(text: str) -> int:
    """How many repeats a draft has."""
    return len(_REPEAT.findall(text))


def written_out(text: str, numbers: Collection[int] | None = None) -> str:
    """The text with repeats written out: those that touch spans of these numbers, or all."""
    woven = _woven(text)
    met = set(range(len(woven.repeats))) if numbers is None else woven.met(numbers)
    if not met:
        return text
    script, places = woven.script, read_draft(text).place_count
    found, widths = blocks(script), widths_of(script)
    splices = []
    for k in met:
        block = _repeat_block(script, k)
        copies = [
            _copy(ended(script, found[row.written]), row.change, places, widths)
            for row in woven.rows
            if row.repeat == k
        ]
        said = "".join(f"{remark}{script.newline}" for remark in _remarks(script, block))
        end = "" if script.text[block.start : block.end].endswith("\n") else script.newline
        body = script.newline.join(copies)
        splices.append((block.start, block.end, said + (body.removesuffix(end) if end else body)))
    return spliced(script, splices)


def of_piece(change: Callable[P, T]) -> Callable[P, T]:
    """An edit of the text that is told spans by their numbers in the piece."""
    takes = signature(change)

    @wraps(change)
    def edit(*args: P.args, **kwargs: P.kwargs) -> T:
        bound = takes.bind(*args, **kwargs)
        bound.apply_defaults()
        given = bound.arguments
        if not has_repeats(given["text"]):
            return change(*args, **kwargs)
        named = {name: given[name] for name in _NUMBERS if isinstance(given.get(name), int)}
        path = _SPAN.match(given.get("path", ""))
        touched = _touched(named) | ({int(path["number"])} if path else set())
        text = written_out(given["text"], touched) if touched else given["text"]
        woven = _woven(text)
        given |= {name: woven.written(number) for name, number in named.items()}
        if path:
            number = woven.written(int(path["number"]))
            given["path"] = f"span.{number}{given['path'][path.end() :]}"
        given["text"] = text
        return change(*bound.args, **bound.kwargs)

    return edit


def number_in_piece(text: str, written: int) -> int:
    """The number in the piece of a span of the text."""
    return _woven(text).number(written) if has_repeats(text) else written


def _touched(named: dict[str, int]) -> set[int]:
    """Spans that an edit touches; where one is put in, the two between which it comes to lie."""
    touched = set(named.values())
    if "first" in named and "last" in named:
        touched |= set(range(named["first"], named["last"] + 1))
    if "at" in named:
        touched.add(named["at"] - 1)
    if "to" in named:
        touched |= {named["to"] - 1, named["to"] + 1}
    return touched


def _woven(text: str) -> _Woven:
    """Errors: NotEditable, when the repeats make no sense."""
    script = opened(text)
    spots, asked, headers = [], [], script.places.headers
    for way, (start, _) in headers:
        if len(way) == 2 and way[0] == "span":
            spots.append((start, 0))
        elif len(way) == 2 and way[0] == "repeat":
            asked.append(_repeating(script.at(way), start))
    try:
        return _Woven(script, woven_rows(spots, asked, MOST_SPANS), asked)
    except TooMany as problem:
        raise NotEditable(
            f"repeat {problem.repeat + 1} takes too many spans; {problem.above} stand above it"
        ) from problem


def _repeating(table: Any, start: int) -> Repeating:
    values = table if isinstance(table, dict) else {}
    spans, times, each = (values.get(name, "") for name in ("spans", "times", "each"))
    if type(spans) is not int or type(times) is not int or type(each) is not str:
        raise NotEditable("a [[repeat]] of this draft makes no sense; see `crossfell check`")
    if spans < 1 or times < 2:
        raise NotEditable("a [[repeat]] of this draft makes no sense; see `crossfell check`")
    try:
        return Repeating((start, 0), spans, times, change_of(each))
    except NotAQuantity as problem:
        raise NotEditable(f"`each` of a [[repeat]]: {problem}") from problem


def _repeat_block(script: Script, number: int) -> SpanText:
    headers = script.places.headers
    at = next(k for k, (way, _) in enumerate(headers) if way == ("repeat", number))
    start = headers[at][1][0]
    until = lead(script, headers[at + 1][1][0]) if at + 1 < len(headers) else len(script.text)
    return SpanText(script.line_start(start), own_end(script, start, until), until)


def _remarks(script: Script, block: SpanText) -> Iterable[str]:
    """What is remarked in a repeat; its values have no `#`."""
    for line in script.text[block.start : block.end].splitlines():
        if "#" in line:
            yield line[line.index("#") :].rstrip()


def _copy(own: str, change: Change, places: int, widths: Widths) -> str:
    """A span's own text as a repeat weaves it."""
    script = opened(own)
    if script.at(("span", 0, "woven")) is not None:
        script = opened(unset_key(own, "span.1.woven"))
    splices = []
    listed = listed_at(script, ("span", 0, "moves")) if change != Change() else None
    for item in listed.items if listed else ():
        read = parsed(item.text)
        if isinstance(read, Unread):
            raise NotEditable(f"`{item.text}` is not a move")
        said = ", ".join(move.text() for move in _changed(read[0], change, places, widths))
        splices.append((item.start, item.end, said))
        splices += comment_kept(script, item.end, len(said) - len(item.text))
    return spliced(script, splices)


def _changed(move: Said, change: Change, places: int, widths: Widths) -> list[Said]:
    moves = [move]
    if change.mirrored:
        moves = known(move, widths).mirrored(1 + places, widths)
    if change.exchanged:
        moves = [other for one in moves for other in one.exchanged()]
    return [one.moved(change.by) for one in moves]

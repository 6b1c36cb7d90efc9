"""Which spans of a draft stand as they did before an edit?

A span is known by the text of its part (`parts.py`); all else that it depends on is the rest of the
text and the workshop's. One that led to a note is read anew.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace
from types import MappingProxyType

from crossfell.base.notes import Where
from crossfell.draft.expand import lower
from crossfell.draft.model import Draft, Move, Span
from crossfell.draft.parts import parts_of


def spans_again(former: Draft | None, now: Draft) -> Sequence[Span | None]:
    """For each span of a text that has just been opened (`now`), the former one, if it stands."""
    parts, before = parts_of(now.text), parts_of(former.text) if former else None
    if parts is None:
        return ()
    if (
        former is None
        or before is None
        or before.plain_text != parts.plain_text
        or len(before.spans) != len(former.spans)
        or _beside(former) != _beside(now)
    ):
        return [None] * len(parts.spans)
    number = {text: k for k, (_, text, _) in enumerate(before.spans)}
    noted = sorted(note.where.line for note in former.notes if note.where.file == former.file)
    found: list[Span | None] = []
    for k, (_, text, _) in enumerate(parts.spans):
        same = k < len(before.spans) and before.spans[k][1] == text
        span = former.spans[k if same else number[text]] if text in number else None
        found.append(span if span and not _is_noted(span, text, noted) else None)
    return found


def moved(
    span: Span,
    number: int,
    where: Where,
    moves: tuple[Move, ...],
    woven: tuple[Move, ...] | None,
) -> Span:
    """The same span where it stands now."""
    by = where.line - span.where.line
    if not by and (number, moves, woven) == (span.number, span.moves, span.woven):
        return span
    given = MappingProxyType({name: lower(place, by) for name, place in span.given.items()})
    return replace(span, number=number, where=where, given=given, moves=moves, woven=woven)


def _beside(draft: Draft) -> tuple[str, str, str]:
    return draft.file, draft.workshop_text, draft.workshop_file


def _is_noted(span: Span, text: str, noted: Sequence[int]) -> bool:
    """Whether a note points into a span."""
    first = span.where.line
    at = bisect_left(noted, first)
    return at < len(noted) and noted[at] <= first + text.count("\n")

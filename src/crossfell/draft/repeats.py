"""Which spans are woven one after another, when runs of them are repeated?

A `[[repeat]]` stands below the spans that it repeats, and counts those woven so far, repeated ones
too: so a repeat can be repeated. Each time is changed against the time before: mirrored in the
whole warp and back, over and under exchanged and back, and so many places further to one side.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from crossfell.base.quantities import NotAQuantity
from crossfell.draft.forms import Form, Stops, Words
from crossfell.draft.plain import Placing

EACH = Form.of("{changes} {drift}")
EACH_SAYS = 'it says what changes each time: "mirrored", "reversed", "right 1 place", or several'

Spot = tuple[int, int]  # where something stands in a text, in any measure that goes up


class Change(NamedTuple):
    """How moves are laid anew: mirrored, exchanged, then `by` places further right."""

    mirrored: bool = False
    exchanged: bool = False
    by: int = 0

    def then(self, other: Change) -> Change:
        """One change, and then another."""
        return Change(
            self.mirrored != other.mirrored,
            self.exchanged != other.exchanged,
            (-self.by if other.mirrored else self.by) + other.by,
        )

    def laying(self, places: int) -> Placing:
        """The change in a warp of so many places."""
        return Placing(self.by, places if self.mirrored else 0, self.exchanged)


class Repeating(NamedTuple):
    """A repeat: where it stands, how many spans above it, how often in all, and what changes."""

    at: Spot
    spans: int
    times: int
    each: Change


class WovenSpan(NamedTuple):
    """A span that is woven: which one of the text it is, and, again, by which repeat and how."""

    written: int  # index
    repeat: int | None = None  # index
    change: Change = Change()


class TooMany(Exception):  # noqa: N818 - it is a mistake of the maker's, told by its reader
    """A repeat of more spans than stand above it (`above`), or of too many in all."""

    def __init__(self, repeat: int, above: int) -> None:
        super().__init__(repeat, above)
        self.repeat, self.above = repeat, above


def change_of(each: str) -> Change:
    """What `each` of a repeat says. Errors: NotAQuantity with a sentence."""
    words = Words(each)
    try:
        said, by = EACH.read(words)
    except Stops:
        raise NotAQuantity(EACH_SAYS) from None
    if not words.at_end() or len(set(said)) < len(said):
        raise NotAQuantity(EACH_SAYS)
    return Change("mirrored" in said, "reversed" in said, by)


def woven_rows(spans: Sequence[Spot], repeats: Sequence[Repeating], most: int) -> list[WovenSpan]:
    """The spans in weaving order. Errors: TooMany."""
    rows: list[WovenSpan] = []
    events = [(at, False, k) for k, at in enumerate(spans)]
    events += [(repeat.at, True, k) for k, repeat in enumerate(repeats)]
    for _, again, k in sorted(events):
        if not again:
            rows.append(WovenSpan(k))
            continue
        repeat = repeats[k]
        if repeat.spans > len(rows) or repeat.spans * (repeat.times - 1) + len(rows) > most:
            raise TooMany(k, len(rows))
        rows += _again(k, repeat, rows[-repeat.spans :])
    return rows


def _again(number: int, repeat: Repeating, run: Sequence[WovenSpan]) -> Iterator[WovenSpan]:
    change = Change()
    for _ in range(repeat.times - 1):
        change = change.then(repeat.each)
        for row in run:
            yield WovenSpan(row.written, number, row.change.then(change))

"""Do two drafts give the same crossings, and if not, where do they part?

Compared are the framed braids after each span, units numbered by their rank at the first band:
exactly, so that no over or under can hide. Lengths, places and gaps do not matter.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from crossfell.draft.model import Draft
from crossfell.order.braid import Braid, braids_of, ranks_of
from crossfell.order.model import Order, SpanOrder

MOST_SAID = 6


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """How two drafts compare; A is the first, B the second."""

    same: bool
    parts_at: int | None  # number of the span after which they first differ
    together_after: int | None  # number of the span after which they are the same again
    differences: tuple[str, ...]  # what differs in that span, in words
    more: int  # further differences that are not said

    @property
    def says(self) -> str:
        """The verdict in one sentence."""
        if self.same:
            return "The same: every span crosses and turns alike."
        if self.parts_at is None:
            return f"Not the same: {self.differences[0]}."
        says = f"Not the same: they part in span {self.parts_at}."
        if self.together_after is not None:
            says += f" After span {self.together_after} they are the same braid again."
        return says


def same_order(one: Order, other: Order) -> Comparison:
    """Compare two orders; names are those of the first draft."""
    if len(one.names) != len(other.names):
        says = f"A has {len(one.names)} units, B has {len(other.names)}"
        return _apart(None, (says,))
    ours, theirs = braids_of(one), braids_of(other)
    shared = min(len(ours), len(theirs))
    parts = next((k for k in range(1, shared) if ours[k] != theirs[k]), None)
    if parts is None and len(ours) == len(theirs):
        return Comparison(same=True, parts_at=None, together_after=None, differences=(), more=0)
    if parts is None:
        longer, name = (one, "A") if len(ours) > len(theirs) else (other, "B")
        braids = ours if longer is one else theirs
        moved = any(braid != braids[shared - 1] for braid in braids[shared:])
        says = (
            f"A has {_spans(one)}, B has {_spans(other)}; up to span {shared - 1} they are alike, "
            f"{'more moves' if moved else 'nothing more moves'} in {name}"
        )
        return _apart(None, (says,))
    told = differences(one, other, parts)
    return _apart(parts, told, _together(ours, theirs, parts))


def told(verdict: Comparison, one: Draft, other: Draft) -> str:
    """The verdict as it is printed: what differs, and where to look in each draft."""
    lines = [verdict.says]
    if verdict.parts_at is not None:
        lines += [f"  {difference}" for difference in verdict.differences]
        if verdict.more:
            lines.append(f"  and {verdict.more} more")
        for name, draft in (("A", one), ("B", other)):
            where = draft.spans[verdict.parts_at - 1].where
            lines.append(f"  {name}: {where.file}:{where.line}")
    return "\n".join(lines)


def _spans(order: Order) -> str:
    return f"{len(order.spans)} span{'' if len(order.spans) == 1 else 's'}"


def _apart(parts: int | None, told: tuple[str, ...], together: int | None = None) -> Comparison:
    return Comparison(
        same=False,
        parts_at=parts,
        together_after=together,
        differences=told[:MOST_SAID],
        more=max(len(told) - MOST_SAID, 0),
    )


def _together(ours: list[Braid], theirs: list[Braid], parts: int) -> int | None:
    """The span from which on they stay the same, if they do to the end."""
    if len(ours) != len(theirs) or ours[-1] != theirs[-1]:
        return None
    last = max(k for k in range(parts, len(ours)) if ours[k] != theirs[k])
    return last + 1


def differences(
    one: Order, other: Order, number: int, said: tuple[str, str] = ("in A", "in B")
) -> tuple[str, ...]:
    """What differs in a span (by number), before which the two are the same."""
    span, theirs = one.spans[number - 1], other.spans[number - 1]
    ranks, names = ranks_of(one), one.names
    back = {unit: ranks[rank] for rank, unit in enumerate(ranks_of(other))}
    a, b = _crossings(span), _crossings(theirs, back)
    told = []
    for pair in sorted({*a, *b}):
        ours, others = a.get(pair, ()), b.get(pair, ())
        if ours != others:
            x, y = (names[u] for u in pair)
            told.append(
                f"{x} {_ways(ours, pair)} {y} {said[0]}, {_ways(others, pair)} it {said[1]}"
            )
    turns = span.half_turns.tolist()
    their_turns = {back[u]: t for u, t in enumerate(theirs.half_turns.tolist())}
    for unit, turn in enumerate(turns):
        if turn != their_turns[unit]:
            mine, other_turn = _turned(turn), _turned(their_turns[unit])
            told.append(f"{names[unit]} {mine} {said[0]}, {other_turn} {said[1]}")
    if not told:
        told.append(
            "the same units cross, alike and as often, but in another order: they hold each other "
            "otherwise"
        )
    return tuple(told)


def _crossings(
    span: SpanOrder, names: Mapping[int, int] | None = None
) -> dict[tuple[int, int], tuple[int, ...]]:
    """For each pair the units on top in their order, a crossing and its return left out."""
    tops: dict[tuple[int, int], list[int]] = {}
    for over, under in zip(span.over.tolist(), span.under.tolist(), strict=True):
        top, bottom = (names[over], names[under]) if names else (over, under)
        row = tops.setdefault((min(top, bottom), max(top, bottom)), [])
        if row and row[-1] == top:
            row.pop()
        else:
            row.append(top)
    return {pair: tuple(row) for pair, row in tops.items() if row}


def _ways(tops: tuple[int, ...], pair: tuple[int, int]) -> str:
    if not tops:
        return "does not cross"
    if len(tops) > 1:
        times = "once" if len(tops) == 2 else f"{len(tops) / 2:g} times"
        return f"goes round ({times}, {'over' if tops[0] == pair[0] else 'under'} first)"
    return "passes over" if tops[0] == pair[0] else "passes under"


def _turned(half_turns: int) -> str:
    if not half_turns:
        return "is not turned"
    much = {1: "half a turn", 2: "a full turn"}.get(
        abs(half_turns), f"{abs(half_turns)} half turns"
    )
    return f"is turned {'right' if half_turns > 0 else 'left'} by {much}"

"""Which single slips can a hand make in the steps of a span?

Laid on the other side of all, or of some; in another place; the hand beside it taken instead; two
taken for each other; two made the other way round; a step left out, or all of a hand; a turn made
the wrong way round. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import TypeVar

from crossfell.loomside.leading import LedPlan
from crossfell.loomside.mistake import Outcome, Pair, Shown, Slip, SpanMoves, outcome_of
from crossfell.plan.model import Step
from crossfell.plan.phrasebook import teller_of

Value = TypeVar("Value")

# What she would be told, the steps that went wrong (indices), what was done in place of each step.
Tried = tuple[str, tuple[int, ...], tuple[Step | None, ...]]


def slips_that_show(plan: LedPlan, span: SpanMoves, shown: Shown) -> tuple[Slip, ...]:
    """Every single slip that leaves what she shows, the latest first."""
    meant = outcome_of(span, span.moves)
    if meant is None:
        raise AssertionError("the plan was rehearsed")
    wanted = dict(_turned_round(meant.over, shown.other_way))
    found = []
    for says, wrong, did in slips_in(plan, span, meant, shown):
        outcome = outcome_of(span, did)
        if outcome is None:
            continue
        lies = (outcome.row, outcome.faces) == (shown.row, shown.faces)
        if lies and _over_as_shown(outcome, wanted) and _turned_as_shown(meant, outcome, shown):
            found.append(Slip(says=says, wrong=wrong, did=did, outcome=outcome))
    return tuple(sorted(found, key=lambda slip: -min(slip.wrong)))


def slips_in(plan: LedPlan, span: SpanMoves, meant: Outcome, shown: Shown) -> Iterator[Tried]:
    """Every slip, some of which cannot have happened."""
    names = plan.piece.order.names
    seen = {unit: place for place, unit in enumerate(shown.row, 1) if unit is not None}
    lays = [i for i, step in enumerate(span.moves) if step.kind == "lay"]
    for i, step in enumerate(span.moves):
        if step.kind == "lay":
            yield _other_side(span, i, names)
            through = _woven_through(span, i, names, shown.other_way)
            if through is not None:
                yield through
        if step.kind in {"lay", "shift"} and any(u in seen for u in step.units):
            yield _elsewhere(span, i, names, seen)
        if step.kind == "lay":
            yield _hand_left_out(span, i, names)
            for by in (-1, 1):
                beside = _hand_beside(span, i, by, names)
                if beside is not None:
                    yield beside
        if step.kind in {"turn", "roll"}:
            yield _turned_wrongly(span, i, names)
        if step.kind == "carry":
            yield _carried_otherwise(span, i, names)
        if step.kind != "lift" and not _in_one_go(span, i):
            yield _left_out(plan, span, i)
    now = {unit: place for place, unit in enumerate(meant.row, 1) if unit is not None}
    moved = [u for u in now if u in seen and seen[u] != now[u]]
    if len(moved) == 2:
        yield _exchanged(span, moved[0], moved[1], names)
    for first, second in pairwise(lays):
        yield _other_order(span, first, second)


def _with(span: SpanMoves, i: int, step: Step | None) -> tuple[Step | None, ...]:
    return (*span.moves[:i], step, *span.moves[i + 1 :])


def _other_side(span: SpanMoves, i: int, names: Sequence[str]) -> Tried:
    step = span.moves[i]
    meant, was = ("under", "over") if step.below else ("over", "under")
    who = " and ".join(names[u] for u in step.units)
    others = ", ".join(names[u] for u in (*step.over, *step.under))
    says = f"at step {step.number}, {who} was laid {was} {others} instead of {meant}"
    turned = step._replace(below=not step.below, over=step.under, under=step.over)
    return says, (i,), _with(span, i, turned)


def _woven_through(
    span: SpanMoves, i: int, names: Sequence[str], pairs: frozenset[frozenset[int]]
) -> Tried | None:
    """Laid over some of what it should pass over, and under others."""
    step = span.moves[i]
    crossed = step.under if step.below else step.over
    against = tuple(u for u in crossed if any(frozenset((u, v)) in pairs for v in step.units))
    along = tuple(u for u in crossed if u not in against)
    if not against or not along:
        return None
    meant, was = ("under", "over") if step.below else ("over", "under")
    who = " and ".join(names[u] for u in step.units)
    wrong = ", ".join(names[u] for u in against)
    says = f"at step {step.number}, {who} was laid {was} {wrong}, and {meant} the rest as planned"
    over, under = (against, along) if step.below else (along, against)
    return says, (i,), _with(span, i, step._replace(over=over, under=under))


def _elsewhere(span: SpanMoves, i: int, names: Sequence[str], seen: dict[int, int]) -> Tried:
    step = span.moves[i]
    to = tuple(
        seen.get(unit, place) for unit, place in zip(step.units, step.to_places, strict=True)
    )
    parts = [
        f"{names[unit]} went to place {there} instead of {place}"
        for unit, there, place in zip(step.units, to, step.to_places, strict=True)
        if there != place
    ]
    says = f"at step {step.number}, {' and '.join(parts)}"
    return says, (i,), _with(span, i, step._replace(to_places=to))


def _left_out(plan: LedPlan, span: SpanMoves, i: int) -> Tried:
    step = span.moves[i]
    text = teller_of(plan.piece.draft).sentence(step)
    return f"step {step.number} was left out: {text}", (i,), _with(span, i, None)


def _exchanged(span: SpanMoves, one: int, other: int, names: Sequence[str]) -> Tried:
    swap = {one: other, other: one}
    did, wrong = [], []
    for i, step in enumerate(span.moves):
        units = tuple(swap.get(u, u) for u in step.units)
        if units != step.units and step.kind in {"lay", "shift"}:
            wrong.append(i)
        did.append(step._replace(units=units))
    number = span.moves[wrong[0]].number if wrong else 0
    says = f"{names[one]} and {names[other]} were taken for each other, from step {number} on"
    return says, tuple(wrong) or (0,), tuple(did)


def _other_order(span: SpanMoves, first: int, second: int) -> Tried:
    one, other = span.moves[first], span.moves[second]
    did = list(span.moves)
    did[first], did[second] = other, one
    says = f"steps {one.number} and {other.number} were made the other way round"
    return says, (first, second), tuple(did)


def _hand_left_out(span: SpanMoves, i: int, names: Sequence[str]) -> Tried:
    """Neither lifted nor laid; and what would have made room for it stays where it was."""
    step = span.moves[i]
    stays = {*step.units, *step.over, *step.under}
    did: list[Step | None] = []
    for k, other in enumerate(span.moves):
        in_part = other.kind in {"lift", "shift"}
        did.append(None if k == i else _without(other, stays) if in_part else other)
    who = " and ".join(names[u] for u in step.units)
    says = f"{who} stayed where it was: step {step.number} and what goes with it were left out"
    return says, (i,), tuple(did)


def _without(step: Step, units: set[int]) -> Step | None:
    kept = [k for k, unit in enumerate(step.units) if unit not in units]
    return _only(step, kept) if kept else None


def _only(step: Step, kept: Sequence[int]) -> Step:
    def part(values: tuple[Value, ...]) -> tuple[Value, ...]:
        return tuple(values[k] for k in kept) if values else ()

    return step._replace(
        units=part(step.units),
        from_places=part(step.from_places),
        to_places=part(step.to_places),
        off_mm=part(step.off_mm),
    )


def _hand_beside(span: SpanMoves, i: int, by: int, names: Sequence[str]) -> Tried | None:
    """The same made one place too far to a side: other strips than meant."""
    step = span.moves[i]
    at = {place: unit for unit, place in enumerate(span.places)}
    block = [*step.units, *step.over, *step.under]
    instead = {unit: at.get(span.places[unit] + by) for unit in block}
    if not step.over + step.under or None in instead.values():
        return None
    did: list[Step | None] = []
    for other in span.moves:
        if other.kind == "turn" or (other.kind == "lay" and other is not step):
            did.append(other)
        else:
            did.append(_moved_beside(other, instead, by))
    who = " and ".join(names[u] for u in step.units)
    took = " and ".join(names[u] for unit in step.units if (u := instead[unit]) is not None)
    says = f"at step {step.number}, {took} was taken instead of {who}, its neighbour"
    return says, (i,), tuple(did)


def _moved_beside(step: Step, instead: dict[int, int | None], by: int) -> Step:
    def unit(u: int) -> int:
        other = instead.get(u)
        return u if other is None else other

    def place(p: int, u: int) -> int:
        return p + by if u in instead else p

    pairs = list(zip(step.units, step.to_places, strict=True)) if step.to_places else []
    starts = list(zip(step.units, step.from_places, strict=True)) if step.from_places else []
    return step._replace(
        units=tuple(map(unit, step.units)),
        from_places=tuple(place(p, u) for u, p in starts),
        to_places=tuple(place(p, u) for u, p in pairs),
        over=tuple(map(unit, step.over)),
        under=tuple(map(unit, step.under)),
    )


def _turned_wrongly(span: SpanMoves, i: int, names: Sequence[str]) -> Tried:
    step = span.moves[i]
    meant, was = ("right", "left") if step.half_turns > 0 else ("left", "right")
    who = " and ".join(names[u] for u in step.units)
    word = "rolled" if step.kind == "roll" else "turned"
    says = f"at step {step.number}, {who} was {word} {was} instead of {meant}"
    return says, (i,), _with(span, i, step._replace(half_turns=-step.half_turns))


def _carried_otherwise(span: SpanMoves, i: int, names: Sequence[str]) -> Tried:
    step = span.moves[i]
    who = " and ".join(names[u] for u in step.units)
    says = f"at step {step.number}, {who} went over what it should go under, and under the rest"
    legs = tuple(leg._replace(over=not leg.over) for leg in step.legs)
    return says, (i,), _with(span, i, step._replace(legs=legs))


def _in_one_go(span: SpanMoves, i: int) -> bool:
    """Whether a move is only a part of a step: it cannot be left out by itself."""
    return sum(move.number == span.moves[i].number for move in span.moves) > 1


def _turned_round(
    over: frozenset[tuple[Pair, int]], pairs: frozenset[frozenset[int]]
) -> frozenset[tuple[Pair, int]]:
    return frozenset(
        ((low, top) if frozenset((top, low)) in pairs else (top, low), count)
        for (top, low), count in over
    )


def _over_as_shown(outcome: Outcome, wanted: dict[Pair, int]) -> bool:
    """Whether pairs that cross as planned, and here, do so as she shows.

    Of a pair that was not to cross she shows only that it did, by where the strips lie.
    """
    done = dict(outcome.over)
    both = {frozenset(pair) for pair in done} & {frozenset(pair) for pair in wanted}
    return {pair: n for pair, n in done.items() if frozenset(pair) in both} == {
        pair: n for pair, n in wanted.items() if frozenset(pair) in both
    }


def _turned_as_shown(meant: Outcome, outcome: Outcome, shown: Shown) -> bool:
    """Whether turns fit: as planned, the other way round where she says so, unlike by the face."""
    return all(
        done == (-planned if unit in shown.turned else planned)
        or (outcome.faces[unit] != meant.faces[unit] and unit not in shown.turned)
        for unit, (done, planned) in enumerate(zip(outcome.turns, meant.turns, strict=True))
    )

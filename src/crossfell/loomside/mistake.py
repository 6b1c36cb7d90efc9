"""She says "that is not what I did": at which step did it go wrong?

She shows how the strips of a span lie. Every single slip that a hand can make in the steps of that
span is tried on a row of strands: laid on the other side, in another place, two taken for each
other, two made the other way round, one left out. A slip that leaves exactly what she shows is
what happened; of several, the latest.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from crossfell.loomside.guide import Plan
from crossfell.plan.model import Step
from crossfell.plan.strands import NotPossible, Row

Pair = tuple[int, int]  # a unit, and one that it lies over
MOVING = frozenset({"lift", "lay", "shift", "turn"})


@dataclass(frozen=True, kw_only=True)
class Shown:
    """How the strips lie, as she shows it, in places from the weaver's left."""

    row: tuple[int | None, ...]
    faces: tuple[int, ...]  # [units] 1 forward, -1 back
    other_way: frozenset[frozenset[int]] = frozenset()  # pairs that cross otherwise than planned


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What steps leave on the batten."""

    row: tuple[int | None, ...]
    faces: tuple[int, ...]
    over: frozenset[tuple[Pair, int]]  # who lies over whom; each pair with its count
    letters: tuple[tuple[int, ...], ...]  # crossings of each step, as generators
    held: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class Slip:
    """One way in which it can have gone wrong."""

    says: str
    wrong: tuple[int, ...]  # indices into the moves of the span
    did: tuple[Step | None, ...]  # what was done in place of each move; None: left out
    outcome: Outcome


@dataclass(frozen=True, kw_only=True)
class SpanMoves:
    """What was to be done with the strips in one span, up to now."""

    span: int
    places: tuple[int, ...]  # [units] where they lay before the first move
    faces: tuple[int, ...]
    place_count: int
    moves: tuple[Step, ...]


def moves_of_span(plan: Plan, span: int, at: int) -> SpanMoves:
    """The moves of a span among the steps before index `at`."""
    here = [i for i, step in enumerate(plan.steps[:at]) if step.span == span]
    moves = tuple(plan.steps[i] for i in here if plan.steps[i].kind in MOVING)
    sight = plan.sights[here[0]] if here else plan.sights[at]
    places = {unit: place for place, unit in enumerate(sight.strips.now, 1) if unit is not None}
    return SpanMoves(
        span=span,
        places=tuple(places[unit] for unit in range(len(places))),
        faces=sight.faces,
        place_count=len(sight.strips.now),
        moves=moves,
    )


def outcome_of(span: SpanMoves, did: Sequence[Step | None]) -> Outcome | None:
    """What these steps leave; None when they cannot be done."""
    row, faces = Row(span.places), list(span.faces)
    over: dict[Pair, int] = {}
    try:
        letters = [() if step is None else _done(row, faces, over, step) for step in did]
    except NotPossible:
        return None
    lying: list[int | None] = [None] * span.place_count
    for unit, place in row.place.items():
        lying[place - 1] = unit
    return Outcome(
        row=tuple(lying),
        faces=tuple(faces),
        over=frozenset(over.items()),
        letters=tuple(letters),
        held=tuple(row.held),
    )


def slips_that_show(plan: Plan, span: SpanMoves, shown: Shown) -> tuple[Slip, ...]:
    """Every single slip that leaves what she shows, the latest first."""
    meant = outcome_of(span, span.moves)
    if meant is None:
        raise AssertionError("the plan was rehearsed")
    wanted = _turned_round(meant.over, shown.other_way)
    found = []
    for says, wrong, did in _slips(plan, span, meant, shown):
        outcome = outcome_of(span, did)
        if outcome is None:
            continue
        if (outcome.row, outcome.faces, outcome.over) == (shown.row, shown.faces, wanted):
            found.append(Slip(says=says, wrong=wrong, did=did, outcome=outcome))
    return tuple(sorted(found, key=lambda slip: -min(slip.wrong)))


def _done(row: Row, faces: list[int], over: dict[Pair, int], step: Step) -> tuple[int, ...]:
    letters: list[int] = []
    if step.kind == "lift":
        for unit in step.units:
            row.lift(unit, below=step.below)
    elif step.kind == "shift":
        row.slide(dict(zip(step.units, step.to_places, strict=True)))
    elif step.kind == "turn":
        for unit in step.units:
            faces[unit] *= -1 if step.half_turns % 2 else 1
    else:
        for unit, place in zip(step.units, step.to_places, strict=True):
            letters += _laid(row, over, step, unit, place)
    return tuple(letters)


def _laid(row: Row, over: dict[Pair, int], step: Step, unit: int, place: int) -> list[int]:
    """Lay one strip: over or under all, but for those that the step says it passes against that."""
    against = set(step.over if step.below else step.under)
    if unit in row.held:
        row.held[unit] = step.below
    rest = [other for other in row.order if other != unit]
    start = row.order.index(unit)
    laid = row.lay(unit, place)
    end = row.order.index(unit)
    passed = rest[start:end] if end > start else rest[end:start][::-1]
    for pair in [(unit, u) for u in laid.over] + [(u, unit) for u in laid.under]:
        top, low = pair[::-1] if against & set(pair) else pair
        over[top, low] = over.get((top, low), 0) + 1
    signed = zip(laid.letters, passed, strict=True)
    return [-letter if other in against else letter for letter, other in signed]


def _turned_round(
    over: frozenset[tuple[Pair, int]], pairs: frozenset[frozenset[int]]
) -> frozenset[tuple[Pair, int]]:
    return frozenset(
        ((low, top) if frozenset((top, low)) in pairs else (top, low), count)
        for (top, low), count in over
    )


_Tried = tuple[str, tuple[int, ...], tuple[Step | None, ...]]


def _slips(plan: Plan, span: SpanMoves, meant: Outcome, shown: Shown) -> Iterator[_Tried]:
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
        if step.kind != "lift":
            yield _left_out(span, i)
    now = {unit: place for place, unit in enumerate(meant.row, 1) if unit is not None}
    moved = [u for u in now if u in seen and seen[u] != now[u]]
    if len(moved) == 2:
        yield _exchanged(span, moved[0], moved[1], names)
    for first, second in pairwise(lays):
        yield _other_order(span, first, second)


def _with(span: SpanMoves, i: int, step: Step | None) -> tuple[Step | None, ...]:
    return (*span.moves[:i], step, *span.moves[i + 1 :])


def _other_side(span: SpanMoves, i: int, names: Sequence[str]) -> _Tried:
    step = span.moves[i]
    meant, was = ("under", "over") if step.below else ("over", "under")
    who = " and ".join(names[u] for u in step.units)
    others = ", ".join(names[u] for u in (*step.over, *step.under))
    says = f"at step {step.number}, {who} was laid {was} {others} instead of {meant}"
    turned = replace(step, below=not step.below, over=step.under, under=step.over)
    return says, (i,), _with(span, i, turned)


def _woven_through(
    span: SpanMoves, i: int, names: Sequence[str], pairs: frozenset[frozenset[int]]
) -> _Tried | None:
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
    return says, (i,), _with(span, i, replace(step, over=over, under=under))


def _elsewhere(span: SpanMoves, i: int, names: Sequence[str], seen: dict[int, int]) -> _Tried:
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
    return says, (i,), _with(span, i, replace(step, to_places=to))


def _left_out(span: SpanMoves, i: int) -> _Tried:
    step = span.moves[i]
    return f"step {step.number} was left out: {step.text}", (i,), _with(span, i, None)


def _exchanged(span: SpanMoves, one: int, other: int, names: Sequence[str]) -> _Tried:
    swap = {one: other, other: one}
    did, wrong = [], []
    for i, step in enumerate(span.moves):
        units = tuple(swap.get(u, u) for u in step.units)
        if units != step.units and step.kind in {"lay", "shift"}:
            wrong.append(i)
        did.append(replace(step, units=units))
    number = span.moves[wrong[0]].number if wrong else 0
    says = f"{names[one]} and {names[other]} were taken for each other, from step {number} on"
    return says, tuple(wrong) or (0,), tuple(did)


def _other_order(span: SpanMoves, first: int, second: int) -> _Tried:
    one, other = span.moves[first], span.moves[second]
    did = list(span.moves)
    did[first], did[second] = other, one
    says = f"steps {one.number} and {other.number} were made the other way round"
    return says, (first, second), tuple(did)

"""She says "that is not what I did": at which step did it go wrong?

She shows how the strips of a span lie. Every single slip that a hand can make in the steps of that
span (slips.py) is tried on a row of strands. A slip that leaves exactly what she shows is what
happened; of several, the latest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.loomside.leading import Plan
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
    turned: frozenset[int] = frozenset()  # units turned the other way round: the face is the same


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What steps leave on the batten."""

    row: tuple[int | None, ...]
    faces: tuple[int, ...]
    over: frozenset[tuple[Pair, int]]  # who lies over whom; each pair with its count
    turns: tuple[int, ...]  # [units] half turns; right is +1
    letters: tuple[tuple[int, ...], ...]  # crossings of each step, as generators
    held: tuple[int, ...]

    @property
    def word(self) -> tuple[int, ...]:
        """All crossings, as generators."""
        return tuple(letter for step in self.letters for letter in step)


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
    """The moves of a span among the steps before index `at`, without any way back."""
    here = [
        i for i, step in enumerate(plan.steps[:at]) if step.span == span and i not in plan.aside
    ]
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
    row, turns = Row(span.places), [0] * len(span.faces)
    over: dict[Pair, int] = {}
    try:
        letters = [() if step is None else _done(row, turns, over, step) for step in did]
    except NotPossible:
        return None
    lying: list[int | None] = [None] * span.place_count
    for unit, place in row.place.items():
        lying[place - 1] = unit
    return Outcome(
        row=tuple(lying),
        faces=tuple(f * (-1) ** t for f, t in zip(span.faces, turns, strict=True)),
        turns=tuple(turns),
        over=frozenset(over.items()),
        letters=tuple(letters),
        held=tuple(row.held),
    )


def _done(row: Row, turns: list[int], over: dict[Pair, int], step: Step) -> tuple[int, ...]:
    letters: list[int] = []
    if step.kind == "lift":
        for unit in step.units:
            row.lift(unit, below=step.below)
    elif step.kind == "shift":
        row.slide(dict(zip(step.units, step.to_places, strict=True)))
    elif step.kind == "turn":
        for unit in step.units:
            turns[unit] += step.half_turns
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

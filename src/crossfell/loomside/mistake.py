"""She says "that is not what I did": at which step did it go wrong?

She shows how the strips of a span lie. Every single slip that a hand can make in the steps of that
span (slips.py) is tried on a row of strands. A slip that leaves exactly what she shows is what
happened; of several, the latest.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from crossfell.loomside.leading import LedPlan
from crossfell.order.batten import CannotLie, Lying, Row
from crossfell.plan.following import in_parts, move, pass_through
from crossfell.plan.model import WITH_STRIPS, Step

Pair = tuple[int, int]  # a unit, and one that it lies over


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
    off_mm: tuple[float, ...]  # [units] right of the middle of their places
    over: frozenset[tuple[Pair, int]]  # who lies over whom; each pair with its count
    turns: tuple[int, ...]  # [units] half turns; right is +1
    letters: tuple[tuple[int, ...], ...]  # crossings of each step, as generators
    held: tuple[int, ...]

    def strips(self) -> Row:
        """The strips as they then lie, when none is held."""
        return _row(self.row, self.faces, self.off_mm)

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
    lying: Lying  # how they lay before the first move
    off_mm: tuple[float, ...]  # [units] right of the middle of their places
    moves: tuple[Step, ...]

    @property
    def places(self) -> tuple[int, ...]:
        """[units] where they lay before the first move."""
        return tuple(place for _, place in sorted(self.row().at.items()))

    def row(self) -> Row:
        """The strips before the first move."""
        return _row(self.lying.now, self.lying.faces, self.off_mm)


def moves_of_span(plan: LedPlan, span: int, at: int) -> SpanMoves:
    """The moves of a span among the steps before index `at`, without any way back."""
    here = [
        i for i, step in enumerate(plan.steps[:at]) if step.span == span and i not in plan.aside
    ]
    moving = (plan.steps[i] for i in here if plan.steps[i].kind in WITH_STRIPS)
    moves = tuple(part for step in moving for part in in_parts(step))
    sight = plan.sights[here[0]] if here else plan.sights[at]
    off_mm = tuple(plan.piece.order.offset_mm[span - 1].tolist())
    return SpanMoves(span=span, lying=sight.strips, off_mm=off_mm, moves=moves)


def _row(now: Sequence[int | None], faces: Sequence[int], off_mm: Sequence[float]) -> Row:
    """A row of units, all in place."""
    at = {unit: place for place, unit in enumerate(now, 1) if unit is not None}
    return Row([at[unit] for unit in range(len(at))], faces, off_mm, len(now))


def outcome_of(span: SpanMoves, did: Sequence[Step | None]) -> Outcome | None:
    """What these steps leave; None when they cannot be done."""
    row, turns = span.row(), [0] * len(span.lying.faces)
    over: Counter[Pair] = Counter()
    try:
        letters = [() if step is None else _done(row, turns, over, step) for step in did]
    except CannotLie:
        return None
    return Outcome(
        row=row.now,
        faces=tuple(row.face),
        off_mm=tuple(row.off_mm),
        turns=tuple(turns),
        over=frozenset(over.items()),
        letters=tuple(letters),
        held=tuple(row.held),
    )


def _done(row: Row, turns: list[int], over: Counter[Pair], step: Step) -> tuple[int, ...]:
    if step.kind in {"carry", "roll"}:
        made = pass_through(row, step)
        over.update((crossing.over, crossing.under) for crossing in made)
        for unit in step.units:
            turns[unit] += step.half_turns
        return tuple(crossing.letter for crossing in made)
    if step.kind != "lay":
        move(row, step)
        for unit in step.units if step.kind == "turn" else ():
            turns[unit] += step.half_turns
        return ()
    offs = step.off_mm or (0.0,) * len(step.units)
    return tuple(
        letter
        for unit, place, off in zip(step.units, step.to_places, offs, strict=True)
        for letter in _laid(row, over, step, (unit, place, off))
    )


def _laid(row: Row, over: Counter[Pair], step: Step, lay: tuple[int, int, float]) -> Iterator[int]:
    """Lay one strip: over or under all, but for those that the step says it passes against that."""
    unit, place, off = lay
    against = set(step.over if step.below else step.under)
    if unit in row.held:
        row.held[unit] = step.below
    (laid,) = row.lay((unit,), (place,), (off,))
    for other in laid.others:
        is_over = step.below == (other in against or unit in against)
        over[(unit, other) if is_over else (other, unit)] += 1
    for other, letter in laid.passed:
        yield -letter if other in against else letter

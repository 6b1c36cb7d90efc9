"""What does a hand do in a span, motion by motion?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from crossfell.plan.model import Leg

Runs = tuple[tuple[int, ...], ...]  # units that lie side by side, from the left, run by run


class What(StrEnum):
    """The kinds of motion."""

    TAKE = "take"  # out of the row, hung aside above or below its empty place
    LAY = "lay"  # what hangs aside, into its place
    TAKE_AND_LAY = "take and lay"
    SLIDE = "slide"  # along, passing nobody
    ROLL = "roll"  # neighbours turned over as one: order reversed, half a turn each
    CARRY = "carry"  # through the row, over some and under others, in one go


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """Minutes of one of each, front and back together; hers where she has measured."""

    hand: float = 2.75  # taken, laid, cleared behind
    slide: float = 1.5  # a run of neighbours moved along
    roll: float = 4.75  # a hand turned over as one
    leg: float = 2.0  # each change of side or direction after the first
    window: float = 2.5  # weights of one hand off and on
    turn: float = 2.0  # half a turn of one unit
    below: float = 0.25  # a lay from below is more awkward; it ranks, and is not told


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """One motion of one hand in front of the loom; places count from the weaver's left."""

    what: What
    units: tuple[int, ...]  # from the left
    from_places: tuple[int, ...]  # parallel to `units`
    to_places: tuple[int, ...]  # parallel to `units`; where they began when they are only taken
    below: bool = False  # taken out below, or laid from below
    crossed: Runs = ()  # strips in the row that it is laid over, or under
    held_over: tuple[int, ...] = ()  # strips that hang aside and stay over it
    held_under: tuple[int, ...] = ()  # strips that hang aside below and stay under it
    half_turns: int = 0  # of a roll, right is +1
    legs: tuple[Leg, ...] = ()  # of a carry
    along: tuple[
        tuple[int, int, int], ...
    ] = ()  # unit, from place, to place: who makes room for it

    def of(self, units: Sequence[int], by: int) -> Motion:
        """The same of other units (this one's are indices), further right by places."""

        def named(numbers: Iterable[int]) -> tuple[int, ...]:
            return tuple(units[u] for u in numbers)

        return replace(
            self,
            units=named(self.units),
            from_places=tuple(place + by for place in self.from_places),
            to_places=tuple(place + by for place in self.to_places),
            crossed=tuple(named(run) for run in self.crossed),
            held_over=named(self.held_over),
            held_under=named(self.held_under),
            legs=tuple(leg._replace(passed=named(leg.passed)) for leg in self.legs),
            along=tuple((units[u], start + by, end + by) for u, start, end in self.along),
        )

    def minutes(self, prices: Prices, hand: int) -> float:
        """What it takes, in front and behind together, `hand` strips being one handful."""
        if self.what is What.TAKE:
            return 0.0  # told with the lay that ends it
        if self.what is What.SLIDE:
            return prices.slide
        if self.what is What.ROLL:
            return prices.roll * -(-len(self.units) // hand)
        room = prices.slide * len(moved_together(self.along))
        return prices.hand + prices.leg * max(0, len(self.legs) - 1) + room


def moved_together(slides: Sequence[tuple[int, int, int]]) -> list[list[tuple[int, int, int]]]:
    """Slides as runs of neighbours that go equally far."""
    runs: list[list[tuple[int, int, int]]] = []
    for slide in sorted(slides, key=lambda one: one[1]):
        before = runs[-1][-1] if runs else None
        together = before and slide[1] - before[1] == slide[2] - before[2] == 1
        if together:
            runs[-1].append(slide)
        else:
            runs.append([slide])
    return runs


def in_one_go(motions: Sequence[Motion]) -> list[Motion]:
    """Motions as she makes them: neighbours that go along go together, to make room too."""
    told: list[Motion] = []
    for motion in motions:
        if motion.what is What.SLIDE and told and (run := _one_run(told[-1], motion)):
            told[-1] = run
        else:
            told.append(motion)
            if motion.what is What.LAY:
                _with_its_take(told)
    return told


def _one_run(one: Motion, other: Motion) -> Motion | None:
    """Two slides of neighbours as one, if they go equally far."""
    left, right = sorted((one, other), key=lambda motion: motion.from_places)
    near = right.from_places[0] - left.from_places[-1] == 1
    if one.what is not What.SLIDE or not near or right.to_places[0] - left.to_places[-1] != 1:
        return None
    return replace(
        left,
        units=left.units + right.units,
        from_places=left.from_places + right.from_places,
        to_places=left.to_places + right.to_places,
        held_over=tuple(dict.fromkeys(left.held_over + right.held_over)),
        held_under=tuple(dict.fromkeys(left.held_under + right.held_under)),
    )


def _with_its_take(told: list[Motion]) -> None:
    """Where nothing but slides came between a take and its lay, they only made room for it."""
    lay, at = told[-1], len(told) - 2
    while told[at].what is What.SLIDE:
        at -= 1
    if told[at].what is What.TAKE and told[at].units == lay.units:
        along = tuple(
            slide
            for motion in told[at + 1 : -1]
            for slide in zip(motion.units, motion.from_places, motion.to_places, strict=True)
        )
        told[at:] = [replace(lay, what=What.TAKE_AND_LAY, along=along)]


def runs_of(units: Sequence[int], row: Sequence[int]) -> Runs:
    """Group units into runs of neighbours in `row`, the strips that lie there from the left."""
    wanted, runs = set(units), []
    run: list[int] = []
    for unit in (*row, -1):
        if unit in wanted:
            run.append(unit)
        elif run:
            runs.append(tuple(run))
            run = []
    return tuple(runs)

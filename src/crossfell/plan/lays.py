"""What is one lay, and what is one pass of lays?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Runs = tuple[tuple[int, ...], ...]  # units that lie side by side, from the left, run by run
Slides = tuple[tuple[int, int, int], ...]  # unit, from place, to place


@dataclass(frozen=True, kw_only=True)
class Lay:
    """One hand of strips put down: neighbours that move as one over, or under, the same strips."""

    units: tuple[int, ...]  # from the left
    from_places: tuple[int, ...]  # parallel to `units`
    to_places: tuple[int, ...]
    crossed: Runs  # strips in place that it crosses
    later_over: tuple[int, ...]  # units still lifted that will come over it
    later_under: tuple[int, ...]  # units still lifted that will come under it
    from_below: bool

    @property
    def over(self) -> tuple[int, ...]:
        """Strips in place that it is laid over."""
        return () if self.from_below else tuple(u for run in self.crossed for u in run)

    @property
    def under(self) -> tuple[int, ...]:
        """Strips in place that it is laid under."""
        return tuple(u for run in self.crossed for u in run) if self.from_below else ()


@dataclass(frozen=True, kw_only=True)
class Pass:
    """Strips lifted together, strips moved along, then the lays, in order."""

    lays: tuple[Lay, ...]
    slides: Slides  # of units that stay
    after: tuple[int, ...]  # units from the left when it is done

    @property
    def lifted(self) -> tuple[int, ...]:
        """Units lifted."""
        return tuple(u for lay in self.lays for u in lay.units)

    @property
    def moved(self) -> tuple[int, ...]:
        """Units lifted, or moved along."""
        return (*self.lifted, *(u for u, _, _ in self.slides))

    @property
    def takes(self) -> tuple[tuple[Lay, ...], ...]:
        """Lays whose strips are taken out together: those held below first, then those above."""
        sides = (
            tuple(lay for lay in self.lays if lay.from_below is below) for below in (True, False)
        )
        return tuple(lays for lays in sides if lays)


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

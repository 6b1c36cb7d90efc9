"""How is a plan written down, step after step?

The book keeps what a step leaves behind for the next: where she stands, the shed of the next pick,
the clamp, the adhesive that still dries.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from crossfell.draft.model import Draft
from crossfell.order.model import Order
from crossfell.plan.model import Action, Handling, Moment, Step
from crossfell.plan.own_minutes import usual_minutes


@dataclass
class Book:
    """The list as it is written."""

    draft: Draft
    order: Order
    minutes: Mapping[str, float]
    steps: list[Step] = field(default_factory=list)
    side: str = "bench"
    shed_up: bool = True
    clamped: bool = False
    wet_min: float = 0.0  # how long the last band must still dry before it is handled
    full_min: float = 0.0  # how long, after that, before it carries the piece
    handling: list[Handling] = field(default_factory=list)  # of each span that moves
    walks: int = 0
    let_off: Mapping[int, tuple[int, ...]] = field(default_factory=dict)  # units, by span

    def write(
        self, side: str, kind: Action, *, count: int = 1, extra_min: float = 0.0, **more: Any
    ) -> None:
        """Add a step; `more` are further fields of `Step`."""
        minutes = self.minutes[kind] * count + extra_min
        if {side, self.side} == {"front", "back"}:
            self.walks += 1
            minutes += self.minutes["walk"]
        self.side = side
        step = Step(
            number=len(self.steps) + 1,
            kind=kind,
            side=side,
            count=count,
            minutes=minutes,
            not_before_min=self._wait(kind),
            **more,
        )
        self.steps.append(step)

    def moment(self, band: int) -> Moment:
        """How the strips lie at a band (index from 0)."""
        row = self.order.by_place(band, self.draft.place_count)
        return Moment(row=row, faces=tuple(self.order.face[band].tolist()))

    def next_shed(self) -> str:
        """The shed of the next pick or rod, carried on from the last."""
        shed = "up" if self.shed_up else "down"
        self.shed_up = not self.shed_up
        return shed

    def _wait(self, kind: Action) -> float:
        wait = 0.0
        if kind in {Action.UNCLAMP, Action.DRAW, Action.CUT_DOWN}:
            wait, self.wet_min = self.wet_min, 0.0
        if kind is Action.CUT_DOWN:
            wait += self.full_min
        return wait


def book_of(draft: Draft, order: Order) -> Book:
    """An empty book, the warp in its first order."""
    return Book(draft=draft, order=order, minutes={**usual_minutes(), **draft.minutes})

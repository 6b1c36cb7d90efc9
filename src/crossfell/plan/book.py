"""How is a plan written down, step after step?

The book keeps what a step leaves behind for the next: where she stands, the shed of the next pick,
the clamp, the adhesive that still dries.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from crossfell.draft.model import Draft
from crossfell.order.model import Order
from crossfell.plan.lays import Lay, Slides
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

    def write(self, side: str, kind: Action, *, count: int = 1, **more: Any) -> None:
        """Add a step; `more` are further fields of `Step`."""
        minutes = self.minutes[kind] * count
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

    def write_take(
        self, side: str, kind: Action, span: int, lays: Sequence[Lay], **more: Any
    ) -> None:
        """Add a step that takes out what `lays` will put down, all above or all below."""
        self.write(
            side,
            kind,
            span=span,
            count=len(lays),
            units=tuple(u for lay in lays for u in lay.units),
            from_places=tuple(place for lay in lays for place in lay.from_places),
            below=lays[0].from_below,
            **more,
        )

    def write_lay(self, side: str, kind: Action, span: int, lay: Lay, **more: Any) -> None:
        """Add a step that puts one hand down."""
        self.write(
            side,
            kind,
            span=span,
            units=lay.units,
            from_places=lay.from_places,
            to_places=lay.to_places,
            over=lay.over,
            under=lay.under,
            crossed=lay.crossed,
            later_over=lay.later_over,
            later_under=lay.later_under,
            below=lay.from_below,
            **more,
        )

    def write_slides(self, side: str, kind: Action, span: int, slides: Slides, **more: Any) -> None:
        """Add a step that moves units along."""
        units, from_places, to_places = zip(*slides, strict=True)
        self.write(
            side,
            kind,
            span=span,
            count=len(slides),
            units=units,
            from_places=from_places,
            to_places=to_places,
            **more,
        )

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

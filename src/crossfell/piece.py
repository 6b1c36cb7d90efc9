"""The one pipeline: from a draft to everything that can be known about the piece.

Each stage is computed once, when first asked for, from the stages above it. What a check does not
need is imported when it is asked for: the command line starts at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from crossfell.base.notes import NOWHERE, Note, Severity, most_serious_first, pointed
from crossfell.draft.model import Draft
from crossfell.loom.bobbins import Bobbins, bobbins_of
from crossfell.loom.stage import LoomState, loom_of
from crossfell.loom.tension import GRAVITY
from crossfell.order.model import Order
from crossfell.order.pairs import Pair, pairs_of
from crossfell.order.stage import order_of
from crossfell.paths.masses import Masses, masses_of
from crossfell.paths.model import Paths
from crossfell.paths.stage import paths_of
from crossfell.plan.amounts import Amounts, amounts_of
from crossfell.plan.own_minutes import unknown_minutes
from crossfell.plan.winding import WindingPlan, winding_plan
from crossfell.statics.balance import Rig
from crossfell.statics.findings import bow_notes, bows_at_all, hanging_notes
from crossfell.statics.model import Hung
from crossfell.statics.quick import SpanHold, cords_hold, holds_of
from crossfell.statics.rig import rig_of
from crossfell.statics.room import room_notes
from crossfell.statics.stage import hung_of
from crossfell.statics.verdict import Verdict, verdict_of

if TYPE_CHECKING:
    from crossfell.plan.model import Plan
    from crossfell.plan.quote import Quote
    from crossfell.plan.sure import Sure
    from crossfell.plan.weighed import Weighed
    from crossfell.plan.woven import AsWoven
    from crossfell.statics.bending import Bendable, BentPiece
    from crossfell.statics.neglected import Neglected
    from crossfell.statics.sway import Sway


@dataclass(frozen=True)
class Former:
    """What is known of the piece before an edit; the rest is never worth keeping."""

    order: Order | None = None
    paths: Paths | None = None


class Piece:
    """A computed piece: the craft's table of contents."""

    def __init__(self, draft: Draft, former: Former | None = None) -> None:
        self.draft = draft
        self._former = former or Former()

    @property
    def computable(self) -> bool:
        """Whether the draft is whole enough to compute anything."""
        return bool(self.draft.warp and self.draft.units and self.draft.spans) and not any(
            note.severity is Severity.ERROR for note in self.draft.notes
        )

    @cached_property
    def order(self) -> Order:
        """Who lies where, and who passes over whom."""
        return order_of(self.draft, self._former.order)

    @cached_property
    def pairs(self) -> tuple[Pair, ...]:
        """Which two units cross, how often, how far round each other."""
        return pairs_of(self.order)

    @cached_property
    def paths(self) -> Paths:
        """Where every unit runs."""
        return paths_of(self.draft, self.order, self._former.paths)

    @cached_property
    def masses(self) -> Masses:
        """What each part of it weighs when it hangs."""
        return masses_of(self.draft, self.paths)

    @cached_property
    def bobbins(self) -> Bobbins:
        """What each bobbin carries, and what is left on it."""
        return bobbins_of(self.draft, self.paths)

    @cached_property
    def loom(self) -> LoomState:
        """What hangs on each unit, and how the shed behaves."""
        return loom_of(self.draft, self.paths, self.bobbins)

    @cached_property
    def rig(self) -> Rig:
        """What hangs on what."""
        return rig_of(self.draft, self.order, self.paths)

    @cached_property
    def holds(self) -> tuple[SpanHold, ...]:
        """Whether the units of each span can carry what is below, as drawn."""
        return holds_of(self.draft, self.rig)

    @cached_property
    def hung(self) -> Hung:
        """Where rods and units come to rest when it hangs."""
        return hung_of(self.draft, self.order, self.paths, self.rig)

    @cached_property
    def sway(self) -> Sway:
        """What a touch and a draught do to it, and how slowly it swings."""
        from crossfell.statics.sway import sway_of

        down, draft = self.draft.on_wall().downwards, self.draft
        across = [draft.strips[draft.kinds[unit.kind].strip].width_mm for unit in draft.units]
        return sway_of(self.rig, self.hung.rest, (self.paths.length_mm @ across)[down])

    @cached_property
    def neglected(self) -> Neglected:
        """What the hung shape leaves out, and how much that is."""
        from crossfell.statics.neglected import neglected_of

        down, paths = self.draft.on_wall().downwards, self.paths
        return neglected_of(
            self.rig, self.hung.rest, (paths.length_mm - paths.chord_mm)[down],
            (self.masses.open_g * GRAVITY / 1000)[down], friction=self.draft.hang.friction,
        )  # fmt: skip

    @cached_property
    def bendable(self) -> Bendable:
        """The hung piece, made ready to have its rods bend."""
        from crossfell.statics.bending import Bendable

        return Bendable(self.draft, self.paths, self.hung)

    @cached_property
    def bent(self) -> BentPiece:
        """How its rods bend, and who then carries what."""
        return self.bendable.bent()

    @cached_property
    def verdict(self) -> Verdict:
        """Whether it hangs as drawn, settles, moves or turns over."""
        cords = cords_hold(self.draft, self.rig)
        return verdict_of(self.draft, self.rig, self.hung.rest, self.holds, cords)

    @cached_property
    def amounts(self) -> Amounts:
        """What to wind, cut, brush and buy."""
        return amounts_of(self.draft, self.paths, self.bobbins, self.winding)

    @cached_property
    def plan(self) -> Plan:
        """What to do, step by step."""
        from crossfell.plan.steps import plan_of

        trips = self.loom.letoff.trips
        return plan_of(self.draft, self.order, self.paths, self.amounts, trips)

    @cached_property
    def weighed(self) -> Weighed:
        """What it will weigh in a dry room and in a damp one."""
        from crossfell.plan.weighed import weighed

        return weighed(self.draft, self.masses)

    @cached_property
    def winding(self) -> WindingPlan:
        """Which bobbins are wound alike, in which order."""
        return winding_plan(self.draft, self.bobbins)

    @cached_property
    def sure(self) -> Sure:
        """How sure lengths and amounts are, by what was measured."""
        from crossfell.plan.sure import sure_of

        return sure_of(self.draft, self.paths, self.amounts, self.winding.groups)

    def quote(self, pieces: int = 1) -> Quote:
        """What it costs, or several alike made one after another."""
        from crossfell.plan.quote import quote_of

        return quote_of(self.draft, self.amounts, self.plan, self.sure, pieces=pieces)

    @cached_property
    def as_woven(self) -> AsWoven | None:
        """What was really woven so far; None when [woven] says nothing."""
        from crossfell.plan.woven import as_woven

        return as_woven(self.draft, self.order)

    @cached_property
    def going_on(self) -> Piece:
        """The piece as woven so far and put right from there; itself when nothing is woven."""
        return Piece(self.as_woven.draft) if self.as_woven else self

    @cached_property
    def notes(self) -> tuple[Note, ...]:
        """Everything wrong or doubtful, most serious first."""
        if not self.computable:
            return most_serious_first(self.draft.notes)
        found = (
            *self.draft.notes,
            *unknown_minutes(self.draft),
            *self.order.notes,
            *self.paths.notes,
            *hanging_notes(self.draft, self.paths, self.holds, self.hung, self.verdict),
            *self._bows(),
            *room_notes(self.draft, self.paths, self.hung),
            *self.loom.notes,
            *self.amounts.notes,
        )
        warp = self.draft.warp.where if self.draft.warp else NOWHERE
        return most_serious_first(pointed(found, warp))

    def _bows(self) -> list[Note]:
        """Which units bow: rods are only bent where stiff ones leave units slack enough."""
        if not bows_at_all(self.draft, self.paths, self.hung):
            return []
        return bow_notes(self.draft, self.order, self.paths, self.bent)

    def known(self) -> Former:
        """What was worked out so far, or before it: for the piece after an edit."""
        done = vars(self)
        return Former(done.get("order", self._former.order), done.get("paths", self._former.paths))


def piece_after(former: Piece, draft: Draft) -> Piece:
    """The piece of an edited draft, the very same as `Piece(draft)`, sooner.

    What spans do and how their units press on each other is known by what they are: whatever the
    edit left as it was is not worked out again (docs/decisions/0011).
    """
    return Piece(draft, former.known())

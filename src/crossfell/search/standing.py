"""How does a piece stand: what swings, what hangs slack, what it costs in handling and yarn?

The few numbers by which one draft is compared with another; the hung shape is only asked for where
no span swings, for one that swings can be seen to do so without it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.piece import Piece
from crossfell.statics.beam import bent, rodded
from crossfell.statics.bow import bow_mm
from crossfell.statics.cords import cords_of, on_top_rod_mm, rod_length_mm

SEEN_MM = 1.0  # a bow that is seen. Common practice
SAME_MM = 0.05  # drifts nearer than this are alike
SAG_MM = 0.5  # less bend of the top rod that is worth its while. Common practice


@dataclass(frozen=True, kw_only=True)
class Standing:
    """The numbers by which remedies are judged."""

    swings: tuple[int, ...]  # numbers of the spans that swing
    barely: tuple[int, ...]  # that hold barely
    quick_drift_mm: float  # drifts of swinging spans, added up
    drift_mm: float  # greatest drift of a rod, hung
    tilt_rad: float
    top_sag_mm: float  # by how much the top rod bends, under what stiff rods would hand on
    bowed: int  # units that bow by more than a millimetre in a span
    loosest_mm_per_n: float
    shrinkage_mm: float
    lifted: int  # strips lifted over the whole piece
    yarn_g: float  # wound on all bobbins
    rods_g: float

    def better_than(self, other: Standing) -> bool:
        """Whether something seen on the wall gets better, and no rod hangs farther aside."""
        if self.drift_mm > other.drift_mm + SAME_MM:
            return False
        if len(self.swings) != len(other.swings):
            return len(self.swings) < len(other.swings)
        if self.swings:
            return self.quick_drift_mm < 0.95 * other.quick_drift_mm
        return (
            self.bowed < other.bowed
            or self.drift_mm < other.drift_mm - 0.5
            or self.top_sag_mm < other.top_sag_mm - SAG_MM
            or self.loosest_mm_per_n < 0.8 * other.loosest_mm_per_n
            or abs(self.shrinkage_mm) < abs(other.shrinkage_mm) - 0.5
        )

    @property
    def rank(self) -> tuple[float, ...]:
        """Less is better: what swings, how far, what bows, then handling and yarn."""
        return (len(self.swings), round(self.quick_drift_mm, 1), len(self.barely), self.bowed,
                round(self.drift_mm, 1), round(self.top_sag_mm, 1), self.lifted,
                self.yarn_g)  # fmt: skip


def standing_of(piece: Piece) -> Standing:
    """Judge a piece. Errors: those of its stages, for a draft with errors."""
    hung, holds = piece.hung, piece.holds
    bow = bow_mm(piece.paths.chord_mm, hung.slack_mm)
    return Standing(
        swings=tuple(hold.number for hold in holds if not hold.holds),
        barely=tuple(hold.number for hold in holds if hold.state == "barely"),
        quick_drift_mm=sum(abs(hold.drift_mm) for hold in holds),
        drift_mm=float(np.abs(hung.drift_mm).max()),
        top_sag_mm=top_sag_mm(piece),
        tilt_rad=float(np.abs(hung.tilt_rad).max()),
        bowed=int((bow > SEEN_MM).sum()),
        loosest_mm_per_n=hung.loosest_mm_per_n,
        shrinkage_mm=hung.shrinkage_mm,
        lifted=sum(span.lifted for span in piece.order.spans),
        yarn_g=sum(winding.mass_g for winding in piece.amounts.windings),
        rods_g=sum(need.mass_g for need in piece.amounts.rods),
    )


def top_sag_mm(piece: Piece) -> float:
    """Greatest bend (mm) of the top rod on its cords; nothing on a rail, or without rest."""
    draft, paths, hung = piece.draft, piece.paths, piece.hung
    supports = cords_of(draft, paths).at_mm
    if draft.hang.rail or not hung.converged or len(np.unique(supports)) < 2:
        return 0.0
    wall = draft.on_wall()
    length = rod_length_mm(draft, paths)
    at = on_top_rod_mm(draft, paths)
    made = bent(rodded(draft.bands[wall.top], length), supports, at, hung.tension_n[wall.top])
    return made.greatest_mm

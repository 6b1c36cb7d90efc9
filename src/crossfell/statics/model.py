"""What is known about a piece once it hangs?

Frame of the wall: x to the right, y up, tilts anticlockwise, all from where the draft puts each
rod. Arrays are in weaving order, like everything else about a piece.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.base.notes import Note
from crossfell.statics.balance import Rig
from crossfell.statics.newton import Rest
from crossfell.statics.springs import Floats


@dataclass(frozen=True, kw_only=True)
class Hung:
    """Where rods and units come to rest when the piece hangs from its top rod."""

    drift_mm: Floats  # [bands] each rod's middle, right positive
    rise_mm: Floats  # [bands] up positive: cut down, the spans shrink
    tilt_rad: Floats  # [bands]
    tension_n: Floats  # [spans, units] of all ends of a unit together
    slack_mm: Floats  # [spans, units] what its tightest end is too long; 0 where it is taut
    loose_mm: Floats  # [spans, units] what its loosest end is too long
    cords_n: Floats  # [cords] from the left end of the top rod; empty on a rail
    loosest_mm_per_n: float  # the last rod goes so far for each newton pushed sideways
    softest_n_per_mm: float  # lowest eigenvalue of the stiffness
    residual: float  # force left, as a share of the weight
    iterations: int
    converged: bool
    stable: bool  # a true minimum of the energy
    weight_n: float  # of everything
    shrinkage_mm: float  # of the height, on cutting down
    notes: tuple[Note, ...]
    rig: Rig  # what was solved, from the top down
    rest: Rest

    @property
    def rods(self) -> Floats:
        """[bands, 3] drift (mm), rise (mm), tilt (rad)."""
        return np.stack([self.drift_mm, self.rise_mm, self.tilt_rad], axis=1)

    @property
    def slack(self) -> NDBools:
        """[spans, units] whether all ends of a unit hang slack."""
        loose: NDBools = self.slack_mm > 0
        return loose


NDBools = np.typing.NDArray[np.bool_]

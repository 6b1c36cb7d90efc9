"""Where does every unit run, in millimetres?

Frame: the loom's: x to the right with 0 at the left edge of place 1 (the centre of place p is
(p - 1/2) pitch), y along the warp in weaving direction from the lower edge of the first band,
z towards the viewer. `Draft.on_wall` (base/frame.py) turns it to the frame of the hung piece, x to
the right and y up from the lowest edge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.base.notes import Note
from crossfell.paths.heights import Pressing
from crossfell.paths.lines import Lines

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Paths:
    """Chords, leans, widths and lengths of every unit in every span."""

    x_mm: Floats  # [bands, units] centre of each unit at each band
    width_mm: Floats  # [units] width of each unit where it lies straight
    ends: Ints  # [units] how many ends each has
    half_turns: Floats  # [spans, units] signed
    band_bottom_mm: Floats  # [bands] y of the first-woven edge of each band
    band_top_mm: Floats  # [bands] y of its last-woven edge
    lean_rad: Floats  # [spans, units] angle from the vertical, positive to the right
    narrow_mm: Floats  # [spans, units] width across the path, w cos(lean)
    chord_mm: Floats  # [spans, units] straight length in the plane
    lines: Lines  # centre lines in space
    length_mm: Floats  # [spans, units] true length of the centre line, with its crossings
    edge_mm: Floats  # [spans, units] true length of the outermost ends (longer where it turns)
    steep_mm: Floats  # [spans, units] greatest way out of the vertical per span height, in space
    pile_mm: Floats  # [spans] greatest thickness of units lying over each other at one spot
    pile_at: tuple[tuple[int, float, float] | None, ...]  # [spans] units there, x mm, height share
    pressing: Pressing  # how the heights were found
    total_mm: Floats  # [units] all spans and bands, without crimp
    edges_mm: Floats  # [bands, 2] x of the outermost edges of units, left first
    rod_ends_mm: Floats  # [bands, 2] x of both ends of each band's rods, see rods.py
    width_total_mm: float  # of the woven piece: places x pitch
    height_total_mm: float  # bands and spans
    notes: tuple[Note, ...]

    def ends_mm(self, unit: int) -> Floats:
        """True length (mm) of every end of a unit in every span, [spans, ends].

        Ends lie evenly over the unit's width; a turned unit is a twisted ribbon, an end at r from
        its middle a helix, √(length² + (k π r)²). Source: derived.
        """
        ends = int(self.ends[unit])
        r = ((np.arange(ends) + 0.5) / ends - 0.5) * self.width_mm[unit]
        turns = self.half_turns[:, unit, None]
        lengths: Floats = np.hypot(self.length_mm[:, unit, None], turns * np.pi * r)
        return lengths

    def rod_mm(self, band: int) -> float:
        """Length of each rod of a band."""
        left, right = self.rod_ends_mm[band]
        return float(right - left)

    @property
    def rod_side_mm(self) -> float:
        """How far rods stand out beside the woven width, at most: nothing, or more."""
        ends = self.rod_ends_mm
        return max(0.0, float(-ends[:, 0].min()), float(ends[:, 1].max()) - self.width_total_mm)

    @property
    def across_mm(self) -> float:
        """From the leftmost end of a rod to the rightmost: what must fit on a wall, in a crate."""
        return float(self.rod_ends_mm[:, 1].max() - self.rod_ends_mm[:, 0].min())

    @property
    def max_lean_rad(self) -> Floats:
        """[spans] greatest lean, as a positive angle."""
        greatest: Floats = np.max(np.abs(self.lean_rad), axis=1, initial=0.0)
        return greatest

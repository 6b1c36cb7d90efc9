"""What does each part of the hanging piece weigh, and where across does it lie?

Whatever carries, lifts, packs or sells the piece asks here. In it is all that hangs when it is
done: warp between the bands and in them, with its take-up; weft; rods; dried adhesive. Not in it:
cords, caps, thrums, spare rods, waste. Masses g, lengths mm, x in the frame of the loom. Yarn
counts are those of conditioned yarn (65 % relative humidity).
Checked: tests/plan/test_weighed.py.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.draft.model import Draft, Yarn
from crossfell.materials.tables import rod_material
from crossfell.order.model import Floats
from crossfell.paths.model import Paths
from crossfell.paths.rods import has_rod
from crossfell.paths.stage import weft_diameter_mm, weft_name
from crossfell.paths.takeup import takeups_mm

WEFT_TURN = 1.04  # weft per pick: crimp and the turn at the edge; common practice, no source
PER_MM = 1e-6  # g per mm of one tex; definition, ISO 1144
CONTAINS = "yarn, rods and dried adhesive, without cords and fixings"


@dataclass(frozen=True, kw_only=True)
class Masses:
    """Mass (g) of each part, and where the parts of a band have their middle."""

    open_g: Floats  # [spans, units] of each unit between the bands
    woven_g: Floats  # [bands, units] of each unit in the bands
    weft_g: Floats  # [bands]
    adhesive_g: Floats  # [bands] dried
    rods_g: Floats  # [bands]
    weft_x_mm: Floats  # [bands] middle of the picks
    rods_x_mm: Floats  # [bands] middle of the rods

    @property
    def across_g(self) -> Floats:
        """[bands] all that runs across: rods, weft and its adhesive."""
        return self.rods_g + self.weft_g + self.adhesive_g

    @property
    def across_x_mm(self) -> Floats:
        """[bands] where that has its mass centre."""
        moment = self.rods_g * self.rods_x_mm + (self.weft_g + self.adhesive_g) * self.weft_x_mm
        heavy = self.across_g
        return np.divide(moment, heavy, out=self.weft_x_mm.copy(), where=heavy > 0)

    @property
    def units_g(self) -> Floats:
        """[units] yarn of each unit, between and in the bands."""
        units: Floats = self.open_g.sum(axis=0) + self.woven_g.sum(axis=0)
        return units

    @property
    def total_g(self) -> float:
        """The whole piece."""
        return float(self.units_g.sum() + self.across_g.sum())


def masses_of(draft: Draft, paths: Paths) -> Masses:
    """Weigh what hangs; every end of a unit is as long as its longest."""
    per_mm = unit_g_per_mm(draft)
    woven_mm = (paths.band_top_mm - paths.band_bottom_mm)[:, None] + takeups_of(draft)
    weft = weft_mm(draft, paths) * [_weft(draft, b).count.tex for b in range(len(draft.bands))]
    return Masses(
        open_g=paths.edge_mm * per_mm,
        woven_g=woven_mm * per_mm,
        weft_g=weft * PER_MM,
        adhesive_g=soaked_g(draft, paths) * draft.adhesive.uptake * draft.adhesive.solids,
        rods_g=_rods_g(draft, paths),
        weft_x_mm=paths.edges_mm.mean(axis=1),
        rods_x_mm=paths.rod_ends_mm.mean(axis=1),
    )


def unit_g_per_mm(draft: Draft) -> Floats:
    """Mass (g) of a mm of all ends of each unit, [units]. Source: definition of tex, ISO 1144."""
    each = {
        name: sum(count * draft.yarns[yarn].count.tex for count, yarn in kind.ends) * PER_MM
        for name, kind in draft.kinds.items()
    }
    return np.array([each[unit.kind] for unit in draft.units])


def takeups_of(draft: Draft) -> Floats:
    """What each end needs in each band beyond its height (mm), [bands, units]."""
    each = {kind: takeups_mm(draft, kind) for kind in {unit.kind for unit in draft.units}}
    extra = np.array([each[unit.kind] for unit in draft.units])
    return extra.reshape(-1, len(draft.bands)).T


def weft_mm(draft: Draft, paths: Paths) -> Floats:
    """Weft (mm) in each band [bands]: from the outermost unit's edge to the other, pick by pick."""
    picks = np.array([band.pick_count for band in draft.bands])
    lengths: Floats = picks * np.diff(paths.edges_mm, axis=1)[:, 0] * WEFT_TURN
    return lengths


def soaked_g(draft: Draft, paths: Paths) -> Floats:
    """Yarn (g) that takes up adhesive in each band [bands]: weft, and warp between its picks."""
    warp = float(unit_g_per_mm(draft).sum())
    soaked = np.zeros(len(draft.bands))
    for b, (band, length) in enumerate(zip(draft.bands, weft_mm(draft, paths), strict=True)):
        if band.adhesive:
            soaked[b] = length * _weft(draft, b).count.tex * PER_MM
            soaked[b] += warp * band.pick_count * weft_diameter_mm(draft, band)
    return soaked


def _weft(draft: Draft, band: int) -> Yarn:
    return draft.yarns[weft_name(draft, draft.bands[band])]


def _rods_g(draft: Draft, paths: Paths) -> Floats:
    rods = np.zeros(len(draft.bands))
    for b, band in enumerate(draft.bands):
        material = rod_material(band.rod.material) if band.rod and has_rod(band) else None
        if band.rod and material:
            area = np.pi * band.rod.diameter_mm**2 / 4
            rods[b] = band.rod_count * area * paths.rod_mm(b) * material.density * 1e-6
    return rods

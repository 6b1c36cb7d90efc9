"""What will the finished piece weigh, in a dry room and in a damp one?

Masses g. Yarn counts are those of the conditioned yarn (65 % relative humidity). Between 30 and
80 % a linen hanging changes by about 5 % of its yarn's mass (from memory); other fibres are taken
to change in proportion to their regain.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.draft.model import Draft, Yarn
from crossfell.materials.tables import fibre_of
from crossfell.materials.yarn import mass_g
from crossfell.order.model import Floats
from crossfell.paths.model import Paths
from crossfell.plan.amounts import Amounts

SWING = 0.7  # of the regain, from 30 to 80 % relative humidity: 5 % for linen; from memory
UNKNOWN_REGAIN = 0.08


@dataclass(frozen=True, kw_only=True)
class Weighed:
    """Mass of the finished piece and of its parts (g)."""

    units_g: Floats  # [units] yarn of each unit, between and in the bands
    weft_g: float
    rods_g: float
    adhesive_g: float  # dry
    damp_g: float  # yarn takes up between 30 and 80 % relative humidity

    @property
    def total_g(self) -> float:
        """At 65 % relative humidity."""
        return float(self.units_g.sum()) + self.weft_g + self.rods_g + self.adhesive_g

    @property
    def low_g(self) -> float:
        """In a dry room."""
        return self.total_g - self.damp_g / 2

    @property
    def high_g(self) -> float:
        """In a damp one."""
        return self.total_g + self.damp_g / 2


def weighed(draft: Draft, paths: Paths, amounts: Amounts) -> Weighed:
    """Weigh the finished piece: what hangs, not what was wound."""
    longest = np.maximum(paths.length_mm, paths.edge_mm).sum(axis=0)
    heights = float((paths.band_top_mm - paths.band_bottom_mm).sum())
    takeup = np.array([wound.takeup_mm for wound in amounts.windings])
    length = longest + heights + takeup
    units = np.zeros(len(draft.units))
    damp = 0.0
    for u, unit in enumerate(draft.units):
        for count, name in draft.kinds[unit.kind].ends:
            yarn = draft.yarns[name]
            own = mass_g(float(length[u]) * count, yarn.count.tex)
            units[u] += own
            damp += own * _swing(yarn)
    weft = sum(need.weft_g for need in amounts.yarns)
    damp += sum(need.weft_g * _swing(draft.yarns[need.yarn]) for need in amounts.yarns)
    spares = draft.stock.spare_rods
    rods = sum(n.mass_g * (1 - spares / len(n.pieces)) for n in amounts.rods if n.pieces)
    glue, recipe = amounts.adhesive, draft.adhesive
    taken = glue.liquid_cm3 / (1 + draft.rates.waste) * recipe.density * recipe.solids
    units.setflags(write=False)
    return Weighed(units_g=units, weft_g=weft, rods_g=rods, adhesive_g=taken, damp_g=damp)


def _swing(yarn: Yarn) -> float:
    """Change of a yarn's mass between a dry room and a damp one, as a share."""
    fibre = fibre_of(yarn.fibre)
    return SWING * (fibre.regain if fibre else UNKNOWN_REGAIN)

"""What will the finished piece weigh, in a dry room and in a damp one?

Masses g. Between 30 and 80 % relative humidity a linen hanging changes by about 5 % of its yarn's
mass (from memory); other fibres are taken to change in proportion to their regain.
"""

from __future__ import annotations

from dataclasses import dataclass

from crossfell.draft.model import Draft, Yarn
from crossfell.materials.tables import fibre_of
from crossfell.materials.yarn import mass_g
from crossfell.paths.masses import Masses
from crossfell.paths.stage import weft_name

SWING = 0.7  # of the regain, from 30 to 80 % relative humidity: 5 % for linen; from memory
UNKNOWN_REGAIN = 0.08


@dataclass(frozen=True, kw_only=True)
class Weighed:
    """Mass of the finished piece (g)."""

    total_g: float  # at 65 % relative humidity
    damp_g: float  # yarn takes up between 30 and 80 % relative humidity

    @property
    def low_g(self) -> float:
        """In a dry room."""
        return self.total_g - self.damp_g / 2

    @property
    def high_g(self) -> float:
        """In a damp one."""
        return self.total_g + self.damp_g / 2


def weighed(draft: Draft, masses: Masses) -> Weighed:
    """Weigh the finished piece: what hangs, not what was wound."""
    swing = {name: _swing(yarn) for name, yarn in draft.yarns.items()}
    share = {name: _share(draft, kind.ends, swing) for name, kind in draft.kinds.items()}
    warp = zip(draft.units, masses.units_g.tolist(), strict=True)
    weft = zip(draft.bands, masses.weft_g.tolist(), strict=True)
    damp = sum(grams * share[unit.kind] for unit, grams in warp)
    damp += sum(grams * swing[weft_name(draft, band)] for band, grams in weft)
    return Weighed(total_g=masses.total_g, damp_g=damp)


def _share(draft: Draft, ends: tuple[tuple[int, str], ...], swing: dict[str, float]) -> float:
    """Change of the mass of mixed ends, as a share."""
    each = [(mass_g(count, draft.yarns[name].count.tex), swing[name]) for count, name in ends]
    return sum(grams * share for grams, share in each) / sum(grams for grams, _ in each)


def _swing(yarn: Yarn) -> float:
    """Change of a yarn's mass between a dry room and a damp one, as a share."""
    fibre = fibre_of(yarn.fibre)
    return SWING * (fibre.regain if fibre else UNKNOWN_REGAIN)

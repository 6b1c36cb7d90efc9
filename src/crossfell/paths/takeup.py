"""How much longer is a warp end in each band than the band is high?"""

from __future__ import annotations

from crossfell.draft.model import Draft
from crossfell.materials.bands import takeup_mm
from crossfell.paths.stage import weft_diameter_mm, yarn_diameter_mm


def takeups_mm(draft: Draft, kind: str) -> list[float]:
    """Extra warp (mm) of one end of a kind in each band: measured, or by its thickest yarn."""
    warp = max(yarn_diameter_mm(draft, name) for _, name in draft.kinds[kind].ends)
    known: dict[object, float] = {}
    extra = []
    for band in draft.bands:
        if band.takeup_mm is not None:
            extra.append(band.takeup_mm)
            continue
        weft = weft_diameter_mm(draft, band)
        rod = band.rod.diameter_mm if band.rod else 0.0
        alike = (band.runs, weft, rod)
        if alike not in known:
            known[alike] = takeup_mm(band.runs, warp, weft, rod)
        extra.append(known[alike])
    return extra

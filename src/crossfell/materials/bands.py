"""How high is a woven band, and how much warp does it take up?

Source: Peirce's rigid-thread geometry of plain cloth, J. Text. Inst. 28 (1937) T45.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

BEATEN = 0.75  # of the closest sett; published sett rule, working share about 75 %


def pick_spacing_mm(warp_mm: float, weft_mm: float) -> float:
    """Distance (mm) from pick to pick: the closest plain sett is one pick per warp + weft diameter.

    Source: published, sett = diameters × ends / (ends + intersections), worked at 75 %.
    """
    return (warp_mm + weft_mm) / BEATEN


def band_height_mm(
    runs: Sequence[int | str], warp_mm: float, weft_mm: float, rod_mm: float
) -> float:
    """Height (mm) of a band: its picks at their spacing, rods as thick as they are."""
    spacing = pick_spacing_mm(warp_mm, weft_mm)
    return sum(spacing * run if isinstance(run, int) else rod_mm for run in runs)


def crimped(p_mm: float, h_mm: float, d_mm: float) -> float:
    """Length (mm) of one thread from crossing to crossing over a spacing `p_mm`.

    Peirce: D = d1 + d2, p = (l − Dθ) cos θ + D sin θ, h = (l − Dθ) sin θ + D (1 − cos θ), solved
    for θ by bisection. `h_mm` is the height of the thread's wave, `d_mm` is D.
    Checked: published values, tests/outside/test_yarn_counts.py.
    """
    low, high = 0.0, math.pi / 2
    for _ in range(60):
        theta = (low + high) / 2
        straight = _straight(theta, p_mm, d_mm)
        if straight * math.sin(theta) + d_mm * (1 - math.cos(theta)) < h_mm and straight >= 0:
            low = theta
        else:
            high = theta
    theta = (low + high) / 2
    return max(_straight(theta, p_mm, d_mm), 0.0) + d_mm * theta


def _straight(theta: float, p_mm: float, d_mm: float) -> float:
    return (p_mm - d_mm * math.sin(theta)) / math.cos(theta)


def takeup_mm(runs: Sequence[int | str], warp_mm: float, weft_mm: float, rod_mm: float) -> float:
    """Warp (mm) that one end needs in a band beyond the band's height.

    From pick to pick a Peirce half wave with the crimp shared (h = D/2, D = warp + weft). Beside a
    rod, which stays straight, the warp goes round it: h = (rod + warp)/2 + (weft + warp)/4 over
    half the rod and half a pick's spacing. Source: derived from Peirce's geometry.
    """
    spacing, both = pick_spacing_mm(warp_mm, weft_mm), warp_mm + weft_mm
    woven = crimped(spacing, both / 2, both) - spacing
    beside = (spacing + rod_mm) / 2
    reach = (rod_mm + warp_mm) / 2 + both / 4
    bend = crimped(beside, min(reach, beside), min(beside, (rod_mm + weft_mm) / 2 + warp_mm))
    steps = [run for run in runs for _ in range(run if isinstance(run, int) else 1)]
    extra = 0.0
    for one, next_ in itertools.pairwise(steps):
        extra += bend - beside if "rod" in {one, next_} else woven
    return extra

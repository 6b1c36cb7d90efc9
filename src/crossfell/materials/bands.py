"""How high is a woven band, and how much warp does it take up?

Source: Peirce's rigid-thread geometry of plain cloth, J. Text. Inst. 28 (1937) T45, published; how
it meets a rod is derived here. Checked: tests/outside/test_mechanics_of_yarn.py.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

BEATEN = 0.75  # of the closest sett; published sett rule, working share about 75 %


@dataclass(frozen=True, kw_only=True)
class WovenBand:
    """Shape of a band: its height, and the warp of one end beyond that height (mm)."""

    height_mm: float
    takeup_mm: float
    gaps_mm: tuple[float, ...]  # from the middle of one pick or rod to the middle of the next
    lengths_mm: tuple[float, ...]  # warp of one end over each gap


def pick_spacing_mm(warp_mm: float, weft_mm: float) -> float:
    """Distance (mm) from pick to pick: the closest plain sett is one pick per warp + weft diameter.

    Source: published, sett = diameters × ends / (ends + intersections), worked at 75 %.
    """
    return (warp_mm + weft_mm) / BEATEN


def woven_band(
    runs: Sequence[int | str], warp_mm: float, weft_mm: float, rod_mm: float
) -> WovenBand:
    """Shape of a band of picks and rods, in the order of weaving.

    From pick to pick the end makes a Peirce half wave, the crimp shared: h = D/2 with D = warp +
    weft. Beside a rod, which stays straight, it climbs h = (rod + warp)/2 + (warp + weft)/4 with
    D = (rod + weft)/2 + warp; two rods in turn give h = D = rod + warp. Where the beaten distance
    is too short for that, the jammed one stands. Source: derived from Peirce's geometry.
    """
    steps = [step for run in runs for step in ([run] if run == "rod" else ["pick"] * int(run))]
    if not steps:
        return WovenBand(height_mm=0.0, takeup_mm=0.0, gaps_mm=(), lengths_mm=())
    spacing = pick_spacing_mm(warp_mm, weft_mm)
    room = {"pick": spacing, "rod": rod_mm}
    wave = {"pick": (warp_mm + weft_mm) / 4, "rod": (rod_mm + warp_mm) / 2}
    round_ = {"pick": (warp_mm + weft_mm) / 2, "rod": (rod_mm + warp_mm) / 2}
    gaps, lengths = [], []
    for one, two in pairwise(steps):
        h, d = wave[one] + wave[two], round_[one] + round_[two]
        gap = max((room[one] + room[two]) / 2, jammed_spacing(h, d))
        gaps.append(gap)
        lengths.append(crimped(gap, h, d))
    edges = (room[steps[0]] + room[steps[-1]]) / 2
    return WovenBand(
        height_mm=math.fsum(gaps) + edges,
        takeup_mm=math.fsum(lengths) - math.fsum(gaps),
        gaps_mm=tuple(gaps),
        lengths_mm=tuple(lengths),
    )


def band_height_mm(
    runs: Sequence[int | str], warp_mm: float, weft_mm: float, rod_mm: float
) -> float:
    """Height (mm) of a band; see `woven_band`."""
    return woven_band(runs, warp_mm, weft_mm, rod_mm).height_mm


def takeup_mm(runs: Sequence[int | str], warp_mm: float, weft_mm: float, rod_mm: float) -> float:
    """Warp (mm) that one end needs in a band beyond the band's height; see `woven_band`."""
    return woven_band(runs, warp_mm, weft_mm, rod_mm).takeup_mm


def jammed_spacing(h_mm: float, d_mm: float) -> float:
    """Least distance (mm) of two threads over which a third, D between them, climbs `h_mm`.

    Peirce with no straight part, l = D θ: h = D (1 − cos θ), p = D sin θ.
    Checked: jammed square cloth, published: h = D/2 gives p/D = 0.8660.
    """
    if d_mm <= 0 or h_mm <= 0:
        return 0.0
    cosine = max(1 - h_mm / d_mm, 0.0)
    return d_mm * math.sqrt(1 - cosine * cosine)


def crimped(p_mm: float, h_mm: float, d_mm: float) -> float:
    """Length (mm) of one thread from crossing to crossing over a spacing `p_mm`.

    Peirce: p = (l − Dθ) cos θ + D sin θ, h = (l − Dθ) sin θ + D (1 − cos θ), D the sum of the two
    diameters. Without l: p sin θ + (D − h) cos θ = D, so with R = √(p² + (D − h)²)
    θ = asin(D/R) − atan2(D − h, p): exact, no iteration. A spacing shorter than the jammed one is
    taken as jammed. Source: published; the closed form is derived.
    Checked: published values, tests/outside/test_mechanics_of_yarn.py.
    """
    if h_mm <= 0 or d_mm <= 0:
        return max(p_mm, 0.0)
    p = max(p_mm, jammed_spacing(h_mm, d_mm))
    theta = math.asin(min(d_mm / math.hypot(p, d_mm - h_mm), 1.0)) - math.atan2(d_mm - h_mm, p)
    across = p - d_mm * math.sin(theta)
    up = h_mm - d_mm * (1 - math.cos(theta))
    return math.hypot(across, up) + d_mm * theta

"""How thick is a unit where another crosses it?

Pressed flat, the ends of a unit lie side by side; their section stays what it was, so a round yarn
of diameter d becomes π d/4 thick and d wide (derived). Ends squeezed narrower than they lie side
by side climb on each other: the same section over less width. A unit that is turning gathers to a
bundle where it stands on edge.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from crossfell.draft.model import Draft
from crossfell.materials.yarn import diameter_mm
from crossfell.order.model import Floats, Ints

ROUND = math.pi / 4  # pressed thickness of a yarn, as a share of its diameter; derived
CLOSEST = 0.9069  # share of a bundle that round yarns can fill: hexagonal packing, published


@dataclass(frozen=True, kw_only=True)
class Section:
    """Section of each unit. Arrays are [units]."""

    area_mm2: Floats  # of all ends, pressed
    flat_mm: Floats  # thickness with its ends side by side
    bundle_mm: Floats  # diameter when gathered to a round bundle
    stiffness: Floats  # against bending, as a share of the mean: ends × d⁴ (derived)
    measured: bool  # whether every pressed thickness is the maker's own


def section_of(draft: Draft) -> Section:
    """Sections of the units of a draft."""
    rows = {kind: _kind(draft, kind) for kind in {unit.kind for unit in draft.units}}
    columns = np.array([rows[unit.kind] for unit in draft.units], dtype=np.float64).reshape(-1, 4)
    stiffness = columns[:, 3]
    mean = stiffness.mean() if len(stiffness) else 1.0
    yarns = {name for kind in draft.kinds.values() for _, name in kind.ends}
    return Section(
        area_mm2=columns[:, 0],
        flat_mm=columns[:, 1],
        bundle_mm=columns[:, 2],
        stiffness=stiffness / mean,
        measured=all(draft.yarns[name].pressed_mm for name in yarns),
    )


def _kind(draft: Draft, kind: str) -> tuple[float, float, float, float]:
    area = flat = round_area = bend = 0.0
    for count, name in draft.kinds[kind].ends:
        yarn = draft.yarns[name]
        d = diameter_mm(yarn.count.tex, yarn.fibre, yarn.diameter_mm).value
        pressed = yarn.pressed_mm or ROUND * d
        area += count * d * pressed
        flat = max(flat, pressed)
        round_area += count * math.pi * d**2 / 4
        bend += count * d**4
    return area, flat, math.sqrt(round_area / CLOSEST * 4 / math.pi), bend


def thickness_mm(
    section: Section, unit: Ints, narrow_mm: Floats, half_turns: Floats, at: Floats
) -> Floats:
    """Thickness (mm) of `unit` at share `at` of a span; all arrays are [meetings].

    `narrow_mm` is its width there, `half_turns` those that it makes in the span. A flat ribbon
    turned by φ is w |sin φ| + t |cos φ| thick; gathered to a bundle, never more than that.
    Source: derived.
    """
    flat = np.maximum(section.flat_mm[unit], section.area_mm2[unit] / narrow_mm)
    angle = np.abs(half_turns) * np.pi * at
    turned = narrow_mm * np.abs(np.sin(angle)) + flat * np.abs(np.cos(angle))
    most = np.maximum(section.bundle_mm[unit], flat)
    thick: Floats = np.where(half_turns == 0, flat, np.minimum(turned, most))
    return thick

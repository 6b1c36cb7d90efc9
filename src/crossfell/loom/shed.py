"""How wide does the shed open, and what do hand, springs and chains carry?

Hole ends are raised by the rise above level (up shed) or pressed below it (down shed), slot ends
stay straight. The batten hangs on springs and rises by itself until the warp holds it: there the
springs carry the batten, its strips and the pull of the raised ends. Chains hold it level against
the springs; a hand presses it down. Heights mm from level, forces N. Friction in the holes is left
out. Source: derived. Checked: tests/loom/test_shed.py, against the values of a worked case.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from crossfell.base.notes import Note, doubt
from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.loom.tension import GRAVITY
from crossfell.order.model import Floats


@dataclass(frozen=True, kw_only=True)
class Shed:
    """The shed and its forces."""

    open_up_mm: float  # where the shuttle passes, hole ends up
    open_down_mm: float  # hole ends down
    stretch_mm: float  # that a raised end needs more
    batten_n: float  # weight of batten and strips
    warp_up_n: float  # pull of all raised ends on the batten, downwards
    warp_down_n: float  # of all pressed ends, upwards
    springs_up_n: float
    springs_level_n: float
    springs_down_n: float
    chains_n: float  # together, holding the batten level
    hand_n: float  # pressing the batten into the down shed


def stretch_mm(rise: float, before: float, behind: float) -> float:
    """Extra length (mm) of an end raised `rise` between fell and back beam.

    √(a² + s²) + √(b² + s²) − a − b. Checked: a 150, b 600, s 40 give 6.5736.
    """
    return math.hypot(before, rise) + math.hypot(behind, rise) - before - behind


def lift_share(rise: float, before: float, behind: float) -> float:
    """Force down on the heddle over the tension of a raised end: the sum of both sines.

    Checked: a 150, b 600, s 40 give 0.32418.
    """
    return rise / math.hypot(before, rise) + rise / math.hypot(behind, rise)


def hole_ends_of(draft: Draft) -> Floats:
    """Ends in holes of each unit [units], face forward: dents alternate from the first."""
    count = []
    for unit, strip in zip(draft.units, draft.strip_of, strict=True):
        ends = draft.kinds[unit.kind].end_count
        count.append((ends + 1) // 2 if strip.first == "hole" else ends // 2)
    return np.array(count, dtype=np.float64)


def shed_of(draft: Draft, up_n: Floats, down_n: Floats) -> Shed:
    """Work out the shed; tensions of one hole end of each unit [units], raised and pressed."""
    loom = draft.loom
    a, b = loom.fell_to_heddle_mm, loom.heddle_to_back_mm
    holes = hole_ends_of(draft)
    strips = sum(strip.mass_g for strip in draft.strip_of)
    weight = (loom.batten_g + strips) * GRAVITY / 1000
    warp_up = float((holes * up_n).sum()) * lift_share(loom.rise_mm, a, b)
    warp_down = float((holes * down_n).sum()) * lift_share(loom.sink_mm, a, b)
    up = weight + warp_up
    level = up + loom.spring_n_per_mm * loom.rise_mm
    down = level + loom.spring_n_per_mm * loom.sink_mm
    return Shed(
        open_up_mm=loom.rise_mm * min(loom.shuttle_at_mm / a, 1.0),
        open_down_mm=loom.sink_mm * min(loom.shuttle_at_mm / a, 1.0),
        stretch_mm=stretch_mm(loom.rise_mm, a, b),
        batten_n=weight,
        warp_up_n=warp_up,
        warp_down_n=warp_down,
        springs_up_n=up,
        springs_level_n=level,
        springs_down_n=down,
        chains_n=level - weight,
        hand_n=down + warp_down - weight,
    )


def shed_notes(draft: Draft, shed: Shed) -> tuple[Note, ...]:
    """A doubt where the shuttle does not pass."""
    loom = draft.loom
    if loom.shuttle_mm <= min(shed.open_up_mm, shed.open_down_mm):
        return ()
    low = "up" if shed.open_up_mm <= shed.open_down_mm else "down"
    need = loom.shuttle_mm * loom.fell_to_heddle_mm / max(loom.shuttle_at_mm, 1e-9)
    facts = {
        "shed": low,
        "open": written(min(shed.open_up_mm, shed.open_down_mm), draft.measure),
        "at": written(loom.shuttle_at_mm, draft.measure),
        "shuttle": written(loom.shuttle_mm, draft.measure),
        "need": written(need, draft.measure),
    }
    return (doubt("shuttle-does-not-pass", loom.given.get("shuttle_mm", loom.where), **facts),)

"""What tension does a hung weight give at the fell?

Over a fixed beam the fell has less than the weight while the weight wins, more while warp is
pulled forward; at rest anything between. Capstan equation (Euler, Eytelwein): a factor e^(μθ)
either way. Where the maker has measured Howell's law F = a N^n on her beam, its own integral
stands instead: a light unit then hangs up sooner than a heavy one.
Source: published, e.g. Beer & Johnston, Statics; Howell, J. Text. Inst. 44 (1953), from memory.
Checked: tests/outside/test_weights.py, against published problems and an ODE solver.
"""

from __future__ import annotations

import math

import numpy as np

from crossfell.draft.model import Loom
from crossfell.order.model import Floats

GRAVITY = 9.80665  # m/s², standard (definition)


def slip_ratio(friction: float, wrap_rad: float) -> float:
    """Ratio of the tensions of both sides of a beam when the yarn slips, e^(μθ)."""
    return math.exp(friction * wrap_rad)


def howell_n(tension_n: Floats, a: float, n: float, radius_m: float, wrap_rad: float) -> Floats:
    """Tension (N) on the far side of a beam, slipping, of a yarn that follows F = a N^n.

    T2^(1−n) = T1^(1−n) + (1 − n) a r^(1−n) θ, with r in metres (N is newton per metre of wrap);
    a negative `wrap_rad` gives the lower side, nothing where friction holds it all. n → 1 is the
    capstan equation. Source: derived by integrating dT = a (T/r)^n r dθ.
    """
    if abs(1 - n) < 1e-9:
        return tension_n * math.exp(a * wrap_rad)
    power = 1 - n
    inside = tension_n**power + power * a * radius_m**power * wrap_rad
    far: Floats = np.maximum(inside, 0.0) ** (1 / power)
    return far


def measured_by_howell(loom: Loom) -> bool:
    """Whether both of Howell's numbers are given."""
    return loom.howell_a is not None and loom.howell_power is not None


def at_the_fell_n(loom: Loom, weight_n: Floats, ends: Floats) -> tuple[Floats, Floats]:
    """Bounds of a unit's tension (N) at the fell: the weight wins, and warp is pulled forward.

    Both arrays broadcast over units. Howell's law is taken end by end.
    """
    if loom.howell_a is None or loom.howell_power is None:
        slip = slip_ratio(loom.friction, loom.wrap_rad)
        return weight_n / slip, weight_n * slip
    radius = loom.beam_radius_mm / 1000
    each = weight_n / ends
    least, most = (
        ends * howell_n(each, loom.howell_a, loom.howell_power, radius, way * loom.wrap_rad)
        for way in (-1, 1)
    )
    return least, most

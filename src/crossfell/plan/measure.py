"""What do her own measurements at the bench come to, and how sure is each?

Every answer carries its uncertainty: the half width of what the readings leave open, combined as
independent errors (root of the sum of squares, as in the GUM, published). Each gives a line for
workshop.toml; a value that stands there is shown as measured everywhere.
Checked: tests/plan/test_measure.py, by simulated readings.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

WRAP = 0.5  # wraps: what the eye can tell at the end of the row
RULER_MM = 0.5  # half a division of a mm rule
SCALE_G = 0.05  # half a division of a 0.1 g scale
REEL = 0.002  # share: how well a reel of known turns gives its length; common practice
STRETCH_MM = 0.2  # a fine mark against a rule
CALIPER_MM = 0.02
CLOSE = 0.05  # of the load: between the weight that still holds and the one that slips


@dataclass(frozen=True, kw_only=True)
class Measured:
    """One measured value."""

    name: str
    value: float
    uncertainty: float  # half width, in the unit of the value
    unit: str
    table: str  # of the draft or the workshop in which the line stands
    line: str

    @property
    def told(self) -> str:
        """The value as it is read."""
        digits = max(0, 1 - math.floor(math.log10(self.uncertainty))) if self.uncertainty else 3
        return (
            f"{self.name}: {self.value:.{digits}f} ± {self.uncertainty:.{digits}f} {self.unit}"
        ).rstrip()


def wraps(count: float, over_mm: float, yarn: str = "NAME") -> Measured:
    """Diameter (mm) from wraps lying close over a length: length / wraps."""
    value = over_mm / _some(count)
    error = value * math.hypot(WRAP / count, RULER_MM / _some(over_mm))
    return _made("diameter", value, error, "mm", f"yarn.{yarn}", f"diameter = {value:.3g}")


def pressed(layers: float, stack_mm: float, yarn: str = "NAME") -> Measured:
    """Pressed thickness (mm) from layers of yarn side by side, pressed and gauged."""
    value = stack_mm / _some(layers)
    error = CALIPER_MM / layers
    return _made("pressed thickness", value, error, "mm", f"yarn.{yarn}", f"pressed = {value:.3g}")


def hank(length_mm: float, mass_g: float, yarn: str = "NAME") -> Measured:
    """Linear density (tex) of a weighed hank: g per km. Source: definition, ISO 1144."""
    value = _some(mass_g) / _some(length_mm) * 1e6
    error = value * math.hypot(SCALE_G / mass_g, REEL)
    line = f'count = "tex {value:.4g}"\ncount_error = "{100 * error / value:.2g} %"'
    return _made("linear density", value, error, "tex", f"yarn.{yarn}", line)


def stretch(
    length_mm: float, load_n: float, longer_mm: float, tex: float, yarn: str = "NAME"
) -> Measured:
    """Modulus (N/tex) of a loaded length: (load / tex) / (stretch / length)."""
    value = (_some(load_n) / _some(tex)) / (_some(longer_mm) / _some(length_mm))
    error = value * math.hypot(STRETCH_MM / longer_mm, RULER_MM / length_mm)
    return _made("modulus", value, error, "N/tex", f"yarn.{yarn}", f"modulus = {value:.3g}")


def slip(light_g: float, heavy_g: float, wrap_rad: float) -> Measured:
    """Friction on the beam: μ = ln(heavy / light) / θ where the heavy side just slips.

    Source: published, Euler and Eytelwein. Checked: tests/outside/test_weights.py.
    """
    value = math.log(_some(heavy_g) / _some(light_g)) / _some(wrap_rad)
    error = CLOSE / wrap_rad
    return _made("friction", value, error, "", "loom", f"friction = {value:.3g}")


def howell(pairs: Sequence[tuple[float, float]], radius_mm: float, wrap_rad: float) -> Measured:
    """Howell's n and a from slips at several loads; `pairs` are (light, heavy) in N.

    For each n the law gives an a for every pair: a = (T2^m − T1^m)/(m r^m θ), m = 1 − n; the n for
    which the pairs agree best stands, the value is n. Errors: ValueError for fewer than two loads.
    """
    low, high = np.array(pairs, dtype=np.float64).T
    if len(np.unique(low)) < 2:
        raise ValueError("Howell's law wants slips at two loads or more")
    powers = np.linspace(0.4, 1.2, 8001)
    m = 1 - powers[:, None]
    m = np.where(np.abs(m) < 1e-9, 1e-9, m)
    with np.errstate(over="ignore"):
        each = (high**m - low**m) / (m * (radius_mm / 1000) ** m * wrap_rad)
    apart = np.std(np.log(each), axis=1)
    best = int(np.argmin(apart))
    n, a = float(powers[best]), float(np.exp(np.log(each[best]).mean()))
    likely = powers[apart <= apart[best] + CLOSE / (wrap_rad * float(np.mean(np.log(high / low))))]
    error = float(np.ptp(likely)) / 2
    return _made("Howell's n", n, error, f"with a = {a:.3g}", "loom",
                 f"howell_a = {a:.4g}\nhowell_power = {n:.4g}")  # fmt: skip


def band(height_mm: float, end_mm: float, computed_mm: float | None = None) -> Measured:
    """Take-up (mm) of a sample band: an end marked at both edges, drawn out and measured.

    `computed_mm` is the computed take-up, told beside it.
    """
    value = _some(end_mm) - _some(height_mm)
    error = math.hypot(RULER_MM, RULER_MM)
    beside = "" if computed_mm is None else f" (computed {computed_mm:.1f} mm)"
    return _made("take-up of a band", value, error, f"mm{beside}", "band",
                 f"height = {height_mm:.4g}\ntakeup = {value:.3g}\n"
                 f'takeup_error = "{error:.2g} mm"')  # fmt: skip


def _made(name: str, value: float, error: float, unit: str, table: str, line: str) -> Measured:
    return Measured(name=name, value=value, uncertainty=error, unit=unit, table=table, line=line)


def _some(value: float) -> float:
    """A reading that is more than nothing. Errors: ValueError."""
    if not value > 0:
        raise ValueError("a reading is more than nothing")
    return value

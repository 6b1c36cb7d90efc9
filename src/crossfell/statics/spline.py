"""How is a rod that bends described: by which few numbers, how stiff, how loaded?

Cubic B-splines on evenly spaced knots: four of them touch a point, and a rod loaded at its knots
takes its exact shape. Source: published, e.g. de Boor, A Practical Guide to Splines (from memory).
Checked: tests/outside/test_hung_rod_bending.py, against tables and the beam elements of beam.py.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.statics.springs import Floats

TOUCH = 4  # splines at a point
_GAUSS = np.polynomial.legendre.leggauss(3)


@dataclass(frozen=True)
class Spline:
    """Shapes of a rod from -length/2 to length/2, in `stretches` equal parts."""

    length_mm: float
    stretches: int

    @property
    def count(self) -> int:
        """How many numbers give a shape."""
        return self.stretches + 3

    @property
    def step_mm(self) -> float:
        """Length of a stretch."""
        return self.length_mm / self.stretches

    def at(self, x_mm: Floats) -> tuple[NDArray[np.int64], Floats]:
        """First of the four splines at points [n] of the rod, and their values [n, 4]."""
        u = (np.asarray(x_mm) + self.length_mm / 2) / self.step_mm
        first = np.clip(np.floor(u).astype(np.int64), 0, self.stretches - 1)
        u = u - first
        values = [(1 - u) ** 3, 3 * u**3 - 6 * u**2 + 4, -3 * u**3 + 3 * u**2 + 3 * u + 1, u**3]
        return first, np.stack(values, axis=-1) / 6

    def values(self, x_mm: Floats) -> Floats:
        """All splines at points [n, count]."""
        first, four = self.at(x_mm)
        full = np.zeros((len(first), self.count))
        np.put_along_axis(full, first[:, None] + np.arange(TOUCH), four, axis=1)
        return full

    def stiffness(self) -> Floats:
        """Bending stiffness [count, count] for EI = 1."""
        part = np.zeros((TOUCH, TOUCH))
        for u, weight in zip((_GAUSS[0] + 1) / 2, _GAUSS[1] / 2, strict=True):
            curve = np.array([1 - u, 3 * u - 2, 1 - 3 * u, u])
            part += weight * np.outer(curve, curve)
        full = np.zeros((self.count, self.count))
        for i in range(self.stretches):
            full[i : i + TOUCH, i : i + TOUCH] += part / self.step_mm**3
        return full

    def loads(self) -> tuple[Floats, Floats]:
        """Work [count] of an even load of 1 in all, and of a slanted one with a moment of 1."""
        middle = (np.arange(self.stretches) + 0.5) * self.step_mm - self.length_mm / 2
        x = (middle[:, None] + _GAUSS[0] * self.step_mm / 2).ravel()
        weight = np.tile(_GAUSS[1] * self.step_mm / 2, self.stretches)
        values = self.values(x)
        even: Floats = weight @ values / self.length_mm
        slant: Floats = (weight * x) @ values / float(weight @ (x * x))
        return even, slant

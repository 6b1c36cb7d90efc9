"""How much does a rod bend between the cords or units that carry it?

Euler–Bernoulli beam, straight elements with cubic (Hermite) shapes: exact at the nodes for loads
at nodes and for an even load. Sag and loads are positive downwards; mm, N, N mm.
Source: published, e.g. Timoshenko, Strength of Materials; Przemieniecki, Theory of Matrix
Structural Analysis, for the element. Checked: tests/outside/test_hung_rod_bending.py against table
values and a beam library.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from crossfell.draft.model import Band
from crossfell.loom.tension import GRAVITY
from crossfell.materials.tables import rod_material
from crossfell.statics.springs import Floats

CLEAR = 0.1  # of the rod, between a support and the mass centre. Common practice, no source
NO_ROD_EI = 1e9  # N mm²: a band without a rod is taken as stiff; its cloth is not modelled


@dataclass(frozen=True, kw_only=True)
class Bent:
    """A loaded rod."""

    x_mm: Floats  # [nodes] from its left end
    sag_mm: Floats  # [nodes] below the line of the supports
    slope: Floats  # [nodes]
    support_n: Floats  # [supports] what each carries
    moments_nmm: Floats  # [elements, both ends, flattened] bending moment
    stress_mpa: float  # at the rod's surface

    @property
    def moment_nmm(self) -> float:
        """Greatest bending moment."""
        return float(np.abs(self.moments_nmm).max())

    @property
    def greatest_mm(self) -> float:
        """Greatest distance from the line of the supports."""
        return float(np.abs(self.sag_mm).max())


@dataclass(frozen=True, kw_only=True)
class Rodded:
    """What bends: length, EI, and the rod's diameter for its stress."""

    length_mm: float
    ei: float  # N mm²
    diameter_mm: float
    weight_n: float  # of the rod, even over its length


def rodded(band: Band, length_mm: float) -> Rodded:
    """The rods of a band as one beam; two rods in a band bend side by side, not as one."""
    material = rod_material(band.rod.material) if band.rod else None
    if band.rod is None or material is None or not band.rod_count:
        return Rodded(length_mm=length_mm, ei=NO_ROD_EI, diameter_mm=0.0, weight_n=0.0)
    d = band.rod.diameter_mm
    area, second = math.pi * d**2 / 4, math.pi * d**4 / 64
    mass_g = band.rod_count * area * length_mm * material.density * 1e-6
    return Rodded(
        length_mm=length_mm,
        ei=band.rod_count * material.modulus * 1000 * second,
        diameter_mm=d,
        weight_n=mass_g * GRAVITY / 1000,
    )


def element(length: float) -> Floats:
    """Stiffness of an element for (sag, slope) at both ends, to be multiplied by EI."""
    a, b = 12 / length**3, 6 / length**2
    c, d = 4 / length, 2 / length
    return np.array([[a, b, -a, b], [b, c, -b, d], [-a, -b, a, -b], [b, d, -b, c]])


def shapes(at: float, length: float) -> Floats:
    """Cubic shapes of (sag, slope) at both ends, at a share `at` of an element."""
    return np.array(
        [
            1 - 3 * at**2 + 2 * at**3,
            length * (at - 2 * at**2 + at**3),
            3 * at**2 - 2 * at**3,
            length * (at**3 - at**2),
        ]
    )


def bent(
    rod: Rodded, supports_mm: Floats, at_mm: Floats, loads_n: Floats, *, even_n: float | None = None
) -> Bent:
    """A rod on two or more rigid supports under loads `loads_n` at `at_mm` and an even load.

    `even_n` is its sum; the rod's own weight if nothing is said. Errors: ValueError with fewer than
    two supports, a rod that nothing holds.
    """
    if len(np.unique(supports_mm)) < 2:
        raise ValueError("a rod needs two supports to be straight between")
    nodes = np.unique(np.concatenate([[0.0, rod.length_mm], supports_mm, at_mm]))
    nodes = _spaced(nodes)
    even = (rod.weight_n if even_n is None else even_n) / rod.length_mm
    size = 2 * len(nodes)
    stiff, load = np.zeros((size, size)), np.zeros(size)
    for i, length in enumerate(np.diff(nodes)):
        four = slice(2 * i, 2 * i + 4)
        stiff[four, four] += rod.ei * element(length)
        load[four] += even * length * np.array([0.5, length / 12, 0.5, -length / 12])
    np.add.at(load, 2 * np.searchsorted(nodes, at_mm - 1e-9), loads_n)
    held = 2 * np.searchsorted(nodes, supports_mm - 1e-9)
    free = np.setdiff1d(np.arange(size), held)
    moved = np.zeros(size)
    moved[free] = np.linalg.solve(stiff[np.ix_(free, free)], load[free])
    carried = (load - stiff @ moved)[held]
    moments = _moments(rod, nodes, moved, even)
    moment = float(np.abs(moments).max())
    stress = (
        moment * rod.diameter_mm / 2 / (math.pi * rod.diameter_mm**4 / 64)
        if rod.diameter_mm
        else 0.0
    )
    return Bent(x_mm=nodes, sag_mm=moved[::2], slope=moved[1::2], support_n=carried,
                moments_nmm=moments, stress_mpa=stress)  # fmt: skip


def _spaced(nodes: Floats) -> Floats:
    """Nodes with the middle of each stretch, so that the sag is seen between them too."""
    nodes = nodes[np.concatenate([[True], np.diff(nodes) > 1e-6])]
    return np.sort(np.concatenate([nodes, (nodes[1:] + nodes[:-1]) / 2]))


def _moments(rod: Rodded, nodes: Floats, moved: Floats, even: float) -> Floats:
    """EI w″ at both ends of each element, with the part that an even load adds there."""
    lengths = np.diff(nodes)
    forces = [
        rod.ei * element(float(length)) @ moved[2 * i : 2 * i + 4]
        for i, length in enumerate(lengths)
    ]
    fixed = even * lengths**2 / 12
    return np.stack([np.array(forces)[:, 1] - fixed, np.array(forces)[:, 3] + fixed], 1).ravel()


def best_two_points(
    rod: Rodded, at_mm: Floats, loads_n: Floats, *, by: str = "sag"
) -> tuple[float, float, Bent]:
    """The two supports between which a loaded rod sags (or bends, `by="moment"`) least.

    A coarse search over both places, then small moves that help. What is made least is a mean of a
    high power of the sag (or moment) along the rod, raised by stages towards the greatest: the
    greatest itself has kinks in which small moves get caught. The mass
    centre of what hangs stays between the two: nothing tips. Returns both places and the bent rod.
    """

    def cost(left: float, right: float, power: float) -> float:
        made = bent(rod, np.array([left, right]), at_mm, loads_n)
        size = np.abs(made.sag_mm if by == "sag" else made.moments_nmm)
        most = float(size.max())
        return most * float(np.mean((size / most) ** power)) ** (1 / power) if most else 0.0

    total = float(np.sum(loads_n)) + rod.weight_n
    centre = (float(loads_n @ at_mm) + rod.weight_n * rod.length_mm / 2) / total
    lowest = max(centre - CLEAR * rod.length_mm, 1e-3 * rod.length_mm)
    highest = min(centre + CLEAR * rod.length_mm, (1 - 1e-3) * rod.length_mm)
    left = np.linspace(0.0, 0.99 * lowest, 10)
    right = rod.length_mm - np.linspace(0.0, 0.99 * (rod.length_mm - highest), 10)
    here = min((cost(a, b, 8.0), a, b) for a in left for b in right)
    step = 0.025 * rod.length_mm
    for power in (8.0, 16.0, 32.0, 64.0, 256.0, 1024.0):
        here = (cost(here[1], here[2], power), here[1], here[2])
        for _ in range(24):
            # one of them, both alike, or apart
            moves = ((1, 0), (0, 1), (1, 1), (1, -1))
            tries = [
                (here[1] + sign * i * step, here[2] + sign * j * step)
                for i, j in moves
                for sign in (-1, 1)
            ]
            inside = [(a, b) for a, b in tries if 0 <= a < lowest and highest < b <= rod.length_mm]
            best = min(((cost(a, b, power), a, b) for a, b in inside), default=here)
            if best[0] >= here[0]:
                break
            here = best
        step /= 2
    return here[1], here[2], bent(rod, np.array([here[1], here[2]]), at_mm, loads_n)

"""What is asked of a warp: which colour in each cell, how many units of each, how far they may go?

A sketch is a grid of cells, bands × places, band 1 first. Its yarns may include the bare wall:
empty places count like units of one more colour, but they go where they like and cost nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.materials.colour import differences, lab_from_linear, linear_from_hex

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
SOFT = 6.0  # CIEDE2000 by which a colour wants a cell e times less. Measured on our own pictures
ROUNDS = 60  # of scaling; what is left of a sum is below a thousandth of a unit


@dataclass(frozen=True, kw_only=True)
class Ask:
    """What is asked for, ready to be solved. K colours, T bands, n places."""

    counts: tuple[int, ...]  # [K] units of each colour in every band; they sum to n
    reach: int  # places that a unit may move in one span
    free: tuple[bool, ...]  # [K] True for the bare wall: no reach, no cost
    density: Floats  # [T, K, n] share of each cell that each colour wants
    sums: Floats  # [T, K, n + 1] the same, added up from the left: what counts are held against
    weight: Floats  # [T, n + 1] how much it matters between place x and x + 1, 0 to 1
    far: Floats  # [T, K, n] CIEDE2000 of each cell to each colour
    matters: Floats  # [T, n] weight of each cell

    @property
    def shape(self) -> tuple[int, int, int]:
        """Bands, colours, places."""
        bands, colours, places = self.density.shape
        return bands, colours, places


def asked(
    light: Floats,
    matters: Floats,
    colours: tuple[str, ...],
    counts: tuple[int, ...] | None = None,
    *,
    reach: int,
    free: tuple[bool, ...],
) -> Ask:
    """What a picture asks of yarns.

    light [T, n, 3] mean light of each cell; matters [T, n] from 0 (does not matter) to 1; colours
    sRGB; counts as given, or by how much of the picture each colour is nearest to.
    """
    lab = lab_from_linear(light)[:, None]
    yarns = lab_from_linear(np.array([linear_from_hex(colour) for colour in colours]))
    far = differences(lab, yarns[None, :, None, :])
    if counts is None:
        counts = shares(far, matters)
    return wanted_of(far, matters, counts, reach=reach, free=free)


def wanted_of(
    far: Floats, matters: Floats, counts: tuple[int, ...], *, reach: int, free: tuple[bool, ...]
) -> Ask:
    """The same where it is known how far [T, K, n] each colour is from each cell."""
    density = densities(far, matters, np.array(counts))
    sums = np.concatenate((np.zeros((*density.shape[:2], 1)), density.cumsum(axis=2)), axis=2)
    between = (matters[:, 1:] + matters[:, :-1]) / 2
    edge = np.zeros((len(matters), 1))
    weight = np.concatenate((edge, between, edge), axis=1)
    return Ask(counts=counts, reach=reach, free=free, density=density, sums=sums, weight=weight,
               far=far, matters=matters)  # fmt: skip


def shares(far: Floats, matters: Floats) -> tuple[int, ...]:
    """Counts by area: how many places each colour is nearest to in the mean of the bands.

    far [T, K, n], matters [T, n]. Every colour gets a unit; the largest remainders fill up.
    """
    colours, places = far.shape[1:]
    near = far.argmin(axis=1)
    area = np.array([((near == c) * matters).sum() for c in range(colours)])
    share = area / max(area.sum(), 1e-9) * (places - colours) + 1
    counts = np.floor(share).astype(int)
    for c in np.argsort(counts - share, kind="stable")[: places - counts.sum()]:
        counts[c] += 1
    counts[int(np.argmax(share))] += places - counts.sum()
    return tuple(int(count) for count in counts)


def densities(far: Floats, matters: Floats, counts: Ints) -> Floats:
    """Share of each cell for each colour [T, K, n]: cells sum to 1, colours to their counts.

    Source: alternate scaling, Sinkhorn and Knopp, Pacific Journal of Mathematics 21 (1967)
    343-348, from memory. Checked: tests/search/sketch, the sums.
    """
    least = far.min(axis=1, keepdims=True)
    wants: Floats = np.maximum(np.exp(-matters[:, None] * (far - least) / SOFT), 1e-9)
    for _ in range(ROUNDS):
        wants *= counts[None, :, None] / wants.sum(axis=2, keepdims=True)
        wants /= wants.sum(axis=1, keepdims=True)
    return wants


def wrong_cells(ask: Ask, chosen: Ints) -> int:
    """Cells that matter and show another colour than the nearest; chosen [T, n] colour numbers."""
    return int(((ask.far.argmin(axis=1) != chosen) & (ask.matters > 0)).sum())


def beyond_counts(ask: Ask) -> tuple[Ints, Ints]:
    """What no order can show: cells asked of each colour [T, K], those above its count [T, K]."""
    near = np.where(ask.matters > 0, ask.far.argmin(axis=1), -1)
    wanted = np.stack([(near == c).sum(axis=1) for c in range(len(ask.counts))], axis=1)
    return wanted, np.maximum(wanted - np.array(ask.counts), 0)

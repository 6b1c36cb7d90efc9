"""What is asked where she paints with her yarns, and how do the units run that show it?

A painted cell says which yarn she means, not a colour that is more or less like it: two yarns that
are hard to tell apart stay two.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from crossfell.materials.colour import differences, lab_from_linear, linear_from_hex
from crossfell.search.sketch.asked import Ask, Floats, Ints, wanted_of
from crossfell.search.sketch.laying import EMPTY, InFront, heights, rows_of
from crossfell.search.sketch.making import turned_of
from crossfell.search.sketch.picture import Cells
from crossfell.search.sketch.wishes import Means

ANY = -1  # a cell that does not matter
APART = 18.0  # CIEDE2000 at least between a painted yarn and any other: three times `asked.SOFT`


@dataclass(frozen=True, kw_only=True)
class Ribbons:
    """The units on their way, as the piece hangs: rows from the top."""

    colours: tuple[int, ...]  # of each unit
    rows: Ints  # [T, n] unit in each place; EMPTY for bare wall
    layers: tuple[tuple[int, ...], ...]  # of each span from the top: units from back to front


def painted_from(cells: Cells, colours: tuple[str, ...]) -> Ints:
    """The nearest yarn in each cell [rows, places] of a picture; ANY where it lies beside it."""
    yarns = lab_from_linear(np.array([linear_from_hex(colour) for colour in colours]))
    near = differences(lab_from_linear(cells.light)[:, :, None], yarns).argmin(axis=2)
    return np.where(cells.matters >= 0.5, near, ANY)


def shared_out(painted: Ints, colours: int) -> tuple[int, ...]:
    """Units of each colour by how much of the grid [rows, places] is painted in it, at least one.

    Source: largest remainders, common practice.
    """
    places = painted.shape[1]
    area = np.array([(painted == c).sum() for c in range(colours)], dtype=float)
    share = np.maximum(area / max(area.sum(), 1.0) * places, 1.0)
    counts = np.floor(share).astype(int)
    while counts.sum() < places:
        counts[int(np.argmax(share - counts))] += 1
    while counts.sum() > places:
        counts[int(np.argmax(np.where(counts > 1, counts - share, -np.inf)))] -= 1
    return tuple(int(count) for count in counts)


def painted_ask(painted: Ints, means: Means, counts: tuple[int, ...], woven_from: str) -> Ask:
    """What a painted grid [rows, places], as it hangs, asks of her means."""
    as_woven = painted[turned_of(woven_from)]
    apart = _apart(means.colours)
    far = apart[np.maximum(as_woven, 0)].transpose(0, 2, 1)
    matters = (as_woven != ANY).astype(float)
    return wanted_of(far, matters, counts, reach=means.reach, free=means.free)


def _apart(colours: tuple[str, ...]) -> Floats:
    """How far each colour is from each other [K, K], at least APART."""
    lab = lab_from_linear(np.array([linear_from_hex(colour) for colour in colours]))
    apart = np.maximum(differences(lab[:, None], lab[None, :]), APART)
    np.fill_diagonal(apart, 0.0)
    return apart


def can_be(ask: Ask, shown: Ints) -> bool:
    """Whether units can show a grid [T, n]: the counts in every band, no move beyond the reach."""
    bands, colours, places = ask.shape
    if shown.shape != (bands, places) or shown.min() < 0 or shown.max() >= colours:
        return False
    for c, count in enumerate(ask.counts):
        if ((shown == c).sum(axis=1) != count).any():
            return False
        ways = np.nonzero(shown == c)[1].reshape(bands, count)
        if not ask.free[c] and count and np.abs(np.diff(ways, axis=0)).max(initial=0) > ask.reach:
            return False
    return True


def ribbons_of(ask: Ask, shown: Ints, front: InFront, woven_from: str) -> Ribbons:
    """The units that show a grid [T, n] of bands as they are woven."""
    rows = rows_of(shown, ask.counts, ask.free)
    colours = [0] * int((rows[0] != EMPTY).sum())
    for unit, colour in zip(rows[0].tolist(), shown[0].tolist(), strict=True):
        if unit != EMPTY:
            colours[unit] = colour
    layers = []
    for now, after in itertools.pairwise(rows.tolist()):
        left, right = ([unit for unit in row if unit != EMPTY] for row in (now, after))
        high = heights(left, right, colours, front)
        layers.append(tuple(sorted(left, key=high.__getitem__)))
    turned = turned_of(woven_from)
    return Ribbons(colours=tuple(colours), rows=rows[turned], layers=tuple(layers[turned[0]]))

"""From where to where does each rod run?

All that shows, cuts, weighs or hangs a rod asks here. Rods cut alike serve their bands together:
each runs from the outermost edge of a unit at any of these bands to the other, and the overhang at
both sides. A rod of a given length lies with its middle where those edges have theirs.
Common practice, no source. Checked: tests/paths/test_rods.py.
"""

from __future__ import annotations

import numpy as np

from crossfell.base.notes import Note, Where, error
from crossfell.base.quantities import written
from crossfell.draft.model import Band, Draft
from crossfell.order.model import Floats
from crossfell.paths.model import Paths

SEEN_MM = 0.05  # what nobody can cut


def edges_mm(x_mm: Floats, width_mm: Floats, wide_mm: float) -> Floats:
    """Outermost edges of the units at each band, [bands, 2], from x [bands, units] and widths.

    Without units the whole width.
    """
    if not x_mm.shape[1]:
        return np.tile([0.0, wide_mm], (len(x_mm), 1))
    half = width_mm / 2
    return np.stack([(x_mm - half).min(axis=1), (x_mm + half).max(axis=1)], axis=1)


def rod_ends_mm(draft: Draft, edges: Floats) -> Floats:
    """Both ends of the rods of each band [bands, 2], left first, in the frame of the loom.

    A band without a rod serves none; its ends are those that its rod would have.
    """
    ends = np.empty_like(edges)
    over = draft.stock.overhang_mm
    for cut, bands in _alike(draft).items():
        served = [b for b in bands if has_rod(draft.bands[b])] or bands
        left, right = edges[served, 0].min(), edges[served, 1].max()
        if isinstance(cut, float):
            left, right = (left + right - cut) / 2, (left + right + cut) / 2
        else:
            left, right = left - over, right + over
        ends[bands] = left, right
    return ends


def has_rod(band: Band) -> bool:
    """Whether a rod is laid into a band."""
    return band.rod is not None and band.rod_count > 0


def _alike(draft: Draft) -> dict[object, list[int]]:
    """Bands whose rods are cut alike, by what they are cut to; each by itself has its own."""
    found: dict[object, list[int]] = {}
    for index, band in enumerate(draft.bands):
        cut = ("each", index) if band.rod_cut_mm == "each" else band.rod_cut_mm
        found.setdefault(cut, []).append(index)
    return found


def rods_on_wall_mm(draft: Draft, paths: Paths) -> Floats:
    """Both ends of the rods of each band [bands, 2], left first, as the piece hangs."""
    ends = draft.on_wall().x(paths.rod_ends_mm, paths.width_total_mm)
    return np.sort(ends, axis=1)


def beyond_the_rod(draft: Draft, paths: Paths, names: tuple[str, ...]) -> list[Note]:
    """An error for each line that cuts rods too short, at the unit that stands out most."""
    half = paths.width_mm[None, :] / 2
    left, right = paths.rod_ends_mm[:, :1], paths.rod_ends_mm[:, 1:]
    out = np.maximum(left - (paths.x_mm - half), (paths.x_mm + half) - right)
    most: dict[Where, int] = {}  # the worst band of each line
    for b, band in enumerate(draft.bands):
        if has_rod(band) and out[b].max(initial=0.0) > SEEN_MM:
            where = band.given.get("rod_cut_mm", band.where)
            if where not in most or out[b].max() > out[most[where]].max():
                most[where] = b
    return [_stands_out(draft, paths, names, (b, out[b]), where) for where, b in most.items()]


def _stands_out(
    draft: Draft, paths: Paths, names: tuple[str, ...], at: tuple[int, Floats], where: Where
) -> Note:
    band, out = at
    unit, length = int(out.argmax()), paths.rod_mm(band)
    return error(
        "beyond-the-rod",
        where,
        unit=names[unit],
        by=written(float(out[unit]), draft.measure),
        band=band + 1,
        length=written(length, draft.measure),
        need=written(length + 2 * float(out[unit]), draft.measure),
    )

"""Where do two like dents touch, so that two ends weave as one?

A turned unit's strip lies the other way round: with an even number of dents its two edge dents
exchange kind, so that at a joint a hole can come to lie beside a hole. Source: derived.
"""

from __future__ import annotations

import numpy as np

from crossfell.draft.model import Draft
from crossfell.order.model import Floats, Ints, Joint

TOUCHING = 1.5  # dent spacings from edge to edge; common practice, no source


def joints_of(draft: Draft, place: Ints, offset_mm: Floats, face: Ints) -> tuple[Joint, ...]:
    """Joints of like dents at every band; arrays are [bands, units]."""
    if place.shape[1] < 2:
        return ()
    strips = draft.strip_of
    width = np.array([strip.width_mm for strip in strips])
    spacing = np.array([strip.width_mm / strip.dents for strip in strips])
    hole = np.array([_edges(strip.first, strip.dents) for strip in strips]) == "hole"
    x = place * draft.pitch_mm + offset_mm
    row = np.argsort(x, axis=1, kind="stable")
    left, right = row[:, :-1], row[:, 1:]
    gap = np.diff(np.take_along_axis(x, row, axis=1), axis=1) - (width[left] + width[right]) / 2
    forward = np.take_along_axis(face, row, axis=1) > 0
    dent = hole[left, forward[:, :-1].astype(int)]  # the right-hand edge of the left unit
    alike = dent == hole[right, 1 - forward[:, 1:]]
    near = gap <= TOUCHING * np.maximum(spacing[left], spacing[right])
    return tuple(
        Joint(band=band + 1, left=int(left[band, at]), right=int(right[band, at]),
              dent="hole" if dent[band, at] else "slot")
        for band, at in np.argwhere(near & alike).tolist()
    )  # fmt: skip


def _edges(first: str, dents: int) -> tuple[str, str]:
    other = "slot" if first == "hole" else "hole"
    return first, first if dents % 2 else other

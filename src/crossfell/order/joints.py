"""Where do two like dents touch, so that two ends weave as one?

A turned unit's strip lies the other way round: with an even number of dents its two edge dents
exchange kind, so that at a joint a hole can come to lie beside a hole. Source: derived.
"""

from __future__ import annotations

from itertools import pairwise

from crossfell.draft.model import Draft
from crossfell.order.model import Floats, Ints, Joint

TOUCHING = 1.5  # dent spacings from edge to edge; common practice, no source


def joints_of(draft: Draft, place: Ints, offset_mm: Floats, face: Ints) -> tuple[Joint, ...]:
    """Joints of like dents at every band; arrays are [bands, units]."""
    strips = draft.strip_of
    edges = [_edges(strip.first, strip.dents) for strip in strips]
    width = [strip.width_mm for strip in strips]
    spacing = [strip.width_mm / strip.dents for strip in strips]
    joints = []
    for band in range(place.shape[0]):
        x = (place[band] * draft.pitch_mm + offset_mm[band]).tolist()
        faces = face[band].tolist()
        row = sorted(range(len(x)), key=x.__getitem__)
        for left, right in pairwise(row):
            gap = x[right] - x[left] - (width[left] + width[right]) / 2
            if gap > TOUCHING * max(spacing[left], spacing[right]):
                continue
            dent = edges[left][1 if faces[left] > 0 else 0]
            if dent == edges[right][0 if faces[right] > 0 else 1]:
                joints.append(Joint(band=band + 1, left=left, right=right, dent=dent))
    return tuple(joints)


def _edges(first: str, dents: int) -> tuple[str, str]:
    other = "slot" if first == "hole" else "hole"
    return first, first if dents % 2 else other

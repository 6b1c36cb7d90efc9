"""From order to paths: where every unit runs in the plane, and how long it is."""

from __future__ import annotations

import math

import numpy as np

from crossfell.draft.model import Band, Draft
from crossfell.materials.bands import band_height_mm
from crossfell.materials.yarn import diameter_mm
from crossfell.order.model import Order
from crossfell.paths.findings import findings
from crossfell.paths.model import Floats, Paths


def paths_of(draft: Draft, order: Order) -> Paths:
    """Work out the paths of a draft; vectorised over bands × units.

    Chords are straight between bands. A unit turned by k half turns in a span is a twisted ribbon:
    its centre line keeps its length, its edges are helices, √(chord² + (k π w/2)²).
    Source: derived. Checked: tests/paths.
    """
    bands, units = order.place.shape
    x = (order.place - 0.5) * draft.pitch_mm + order.offset_mm
    width = np.array([strip.width_mm for strip in draft.strip_of], dtype=np.float64)
    heights = np.array([span.height_mm for span in draft.spans], dtype=np.float64)
    thick = np.array([woven_height_mm(draft, band) for band in draft.bands], dtype=np.float64)
    bottom = np.concatenate(([0.0], np.cumsum(thick[:-1] + heights)))
    sideways = np.diff(x, axis=0)
    chord = np.hypot(sideways, heights[:, None])
    lean = np.arctan2(sideways, heights[:, None])
    turns = np.array([span.half_turns for span in order.spans]).reshape(bands - 1, units)
    edge = np.hypot(chord, turns * np.pi * width / 2)
    paths = Paths(
        x_mm=_fixed(x),
        width_mm=_fixed(width),
        band_bottom_mm=_fixed(bottom),
        band_top_mm=_fixed(bottom + thick),
        lean_rad=_fixed(lean),
        narrow_mm=_fixed(width * np.cos(lean)),
        chord_mm=_fixed(chord),
        length_mm=_fixed(chord),
        edge_mm=_fixed(edge),
        total_mm=_fixed(chord.sum(axis=0) + thick.sum()),
        width_total_mm=draft.place_count * draft.pitch_mm,
        height_total_mm=float(bottom[-1] + thick[-1]),
        notes=(),
    )
    return Paths(**{**vars(paths), "notes": findings(draft, order, paths)})


def woven_height_mm(draft: Draft, band: Band) -> float:
    """Height (mm) of a band: as given, or from its picks and rod."""
    if band.height_mm is not None:
        return band.height_mm
    rod = band.rod.diameter_mm if band.rod else 0.0
    return band_height_mm(band.runs, warp_diameter_mm(draft), weft_diameter_mm(draft, band), rod)


def warp_diameter_mm(draft: Draft) -> float:
    """Mean diameter (mm) of the yarns that the units are made of."""
    names = {name for kind in draft.kinds.values() for _, name in kind.ends}
    each = [yarn_diameter_mm(draft, name) for name in sorted(names)]
    return math.fsum(each) / len(each) if each else 0.0


def weft_diameter_mm(draft: Draft, band: Band) -> float:
    """Diameter (mm) of a band's weft."""
    name = weft_name(draft, band)
    return yarn_diameter_mm(draft, name) if name else 0.0


def weft_name(draft: Draft, band: Band) -> str:
    """Yarn of a band's weft: the one that is named, or the first of the draft."""
    return band.weft or next(iter(draft.yarns), "")


def yarn_diameter_mm(draft: Draft, name: str) -> float:
    """Diameter (mm) of a yarn by name."""
    yarn = draft.yarns[name]
    return diameter_mm(yarn.count.tex, yarn.fibre, yarn.diameter_mm).value


def _fixed(array: Floats) -> Floats:
    array.setflags(write=False)
    return array

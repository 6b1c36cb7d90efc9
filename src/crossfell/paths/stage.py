"""From order to paths: where every unit runs in the plane, and how long it is."""

from __future__ import annotations

import math

import numpy as np

from crossfell.draft.model import Band, Draft
from crossfell.materials.bands import band_height_mm
from crossfell.materials.yarn import diameter_mm
from crossfell.order.model import Ints, Order
from crossfell.paths.findings import findings
from crossfell.paths.heights import pressing_of
from crossfell.paths.lines import lengths_mm, lines_of, steepest_mm
from crossfell.paths.meetings import Meetings, meetings_of
from crossfell.paths.model import Floats, Paths
from crossfell.paths.piles import piles_of
from crossfell.paths.rods import edges_mm, rod_ends_mm
from crossfell.paths.thickness import Section, section_of, thickness_mm


def paths_of(draft: Draft, order: Order, former: Paths | None = None) -> Paths:
    """Work out the paths of a draft; vectorised over bands × units.

    Heights that `former`, the paths before an edit, has are not worked out again.

    Centre lines are straight in the plane between bands and bend out of it where units meet. A
    unit turned by k half turns in a span is a twisted ribbon: an end at a distance r from its
    middle is a helix round the centre line, √(length² + (k π r)²) long.
    Source: derived. Checked: tests/paths, tests/outside/test_heights.py.
    """
    bands, units = order.place.shape
    x = (order.place - 0.5) * draft.pitch_mm + order.offset_mm
    wide = draft.place_count * draft.pitch_mm
    width = np.array([strip.width_mm for strip in draft.strip_of], dtype=np.float64)
    heights = np.array([span.height_mm for span in draft.spans], dtype=np.float64)
    thick = np.array(_woven_heights_mm(draft), dtype=np.float64)
    bottom = np.concatenate(([0.0], np.cumsum(thick[:-1] + heights)))
    sideways = np.diff(x, axis=0)
    chord = np.hypot(sideways, heights[:, None])
    lean = np.arctan2(sideways, heights[:, None])
    turns = np.array([span.half_turns for span in order.spans], dtype=np.float64)
    turns = turns.reshape(bands - 1, units)
    section = section_of(draft)
    narrow = width * np.cos(lean)
    meetings = meetings_of(order, x)
    distance = (
        _thick(section, meetings, meetings.over, narrow, turns)
        + _thick(section, meetings, meetings.under, narrow, turns)
    ) / 2
    edges = edges_mm(x, width, wide)
    pressing = pressing_of(
        meetings, distance, section.stiffness, former.pressing if former else None
    )
    lines = lines_of(meetings, pressing.force, section.stiffness, x)
    length = lengths_mm(lines, heights)
    flat = np.maximum(section.flat_mm, section.area_mm2 / narrow)
    pile, pile_at = piles_of(meetings, x, width, flat)
    paths = Paths(
        x_mm=_fixed(x),
        width_mm=_fixed(width),
        ends=np.array([draft.kinds[unit.kind].end_count for unit in draft.units]),
        half_turns=_fixed(turns),
        band_bottom_mm=_fixed(bottom),
        band_top_mm=_fixed(bottom + thick),
        lean_rad=_fixed(lean),
        narrow_mm=_fixed(narrow),
        chord_mm=_fixed(chord),
        lines=lines,
        length_mm=_fixed(length),
        edge_mm=_fixed(np.hypot(length, turns * np.pi * width / 2)),
        steep_mm=_fixed(steepest_mm(lines)),
        pile_mm=_fixed(pile),
        pile_at=pile_at,
        pressing=pressing,
        total_mm=_fixed(length.sum(axis=0) + thick.sum()),
        edges_mm=_fixed(edges),
        rod_ends_mm=_fixed(rod_ends_mm(draft, edges)),
        width_total_mm=wide,
        height_total_mm=float(bottom[-1] + thick[-1]),
        notes=(),
    )
    return Paths(**{**vars(paths), "notes": findings(draft, order, paths)})


def _thick(
    section: Section, meetings: Meetings, unit: Ints, narrow: Floats, turns: Floats
) -> Floats:
    span = meetings.span
    return thickness_mm(section, unit, narrow[span, unit], turns[span, unit], meetings.at)


def _woven_heights_mm(draft: Draft) -> list[float]:
    """Height (mm) of every band; alike bands are worked out once."""
    known: dict[tuple[object, ...], float] = {}
    heights = []
    for band in draft.bands:
        alike = (band.height_mm, band.runs, band.rod, weft_name(draft, band))
        if alike not in known:
            known[alike] = woven_height_mm(draft, band)
        heights.append(known[alike])
    return heights


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

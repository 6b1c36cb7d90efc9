"""What is doubtful about where the units run?"""

from __future__ import annotations

import math

import numpy as np

from crossfell.base.notes import Note, Where, advice, doubt, error
from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.materials.yarn import diameter_mm
from crossfell.order.model import Ints, Order
from crossfell.paths.heights import MOST_PASSES
from crossfell.paths.model import Floats, Paths
from crossfell.paths.rods import beyond_the_rod

TOLERANCE_MM = 0.05  # two units that touch by less than this do not overlap
TOUCH_MM = 0.3  # less room than this closes under the beat; common practice, no source


def findings(draft: Draft, order: Order, paths: Paths) -> tuple[Note, ...]:
    """Everything doubtful about the paths, each pointing at its line of the draft."""
    return (
        *_overlaps(draft, order, paths),
        *beyond_the_rod(draft, paths, order.names),
        *_leans(draft, order, paths),
        *_short(draft, order, paths),
        *_squeezed(draft, order, paths),
        *_piles(draft, paths),
        *_flat(draft, order, paths),
        *_wall(draft, paths),
    )


def band_where(draft: Draft, band: int) -> Where:
    """Line of the draft that decides a band (index from 0): the span before it."""
    return draft.spans[band - 1].where if band else draft.bands[0].where


def _overlaps(draft: Draft, order: Order, paths: Paths) -> list[Note]:
    row, gap = _gaps(paths)
    notes = _touching(draft, order, row, gap)
    for band in np.flatnonzero((gap < -TOLERANCE_MM).any(axis=1)):
        at = int(np.argmin(gap[band]))
        left, right = order.names[row[band, at]], order.names[row[band, at + 1]]
        notes.append(
            error(
                "units-overlap",
                band_where(draft, int(band)),
                left=left,
                right=right,
                band=int(band) + 1,
                by=written(-float(gap[band, at]), draft.measure),
            )
        )
        if band == 0:
            break  # the warp itself is too close: one message says it all
    return notes


def _gaps(paths: Paths) -> tuple[Ints, Floats]:
    """Units from the left [bands, units], and the room (mm) between neighbours."""
    row = np.argsort(paths.x_mm, axis=1, kind="stable")
    x = np.take_along_axis(paths.x_mm, row, axis=1)
    half = paths.width_mm[row] / 2
    return row, np.diff(x, axis=1) - half[:, 1:] - half[:, :-1]


def _touching(draft: Draft, order: Order, row: Ints, gap: Floats) -> list[Note]:
    touch = (gap >= -TOLERANCE_MM) & (gap < TOUCH_MM)
    if not touch.any():
        return []
    band, at = (int(i) for i in np.argwhere(touch)[0])
    facts = {
        "bands": int(touch.any(axis=1).sum()),
        "left": order.names[row[band, at]],
        "right": order.names[row[band, at + 1]],
        "band": band + 1,
        "gap": written(max(float(gap[band, at]), 0.0), draft.measure),
    }
    return [advice("units-touch", band_where(draft, band), **facts)]


def _leans(draft: Draft, order: Order, paths: Paths) -> list[Note]:
    limit = draft.loom.lean_limit_rad
    notes = []
    for k in np.flatnonzero(paths.max_lean_rad > limit + 1e-9):
        unit = int(np.argmax(np.abs(paths.lean_rad[k])))
        sideways = abs(float(paths.x_mm[k + 1, unit] - paths.x_mm[k, unit]))
        span = draft.spans[k]
        notes.append(
            doubt(
                "leans-too-far",
                span.given.get("height_mm", span.where),
                span=span.number,
                unit=order.names[unit],
                lean=round(math.degrees(float(paths.max_lean_rad[k]))),
                limit=round(math.degrees(limit)),
                sideways=written(sideways, draft.measure),
                height=written(least_height_mm(paths, int(k), limit), draft.measure),
            )
        )
    return notes


def least_height_mm(paths: Paths, span: int, limit_rad: float) -> float:
    """Least height (mm, rounded up) at which no unit of a span leans beyond the limit, in space.

    Heights z of least bending do not depend on the height of the span, so that the steepest way
    per span height stays what it is. Source: derived.
    """
    return math.ceil(float(paths.steep_mm[span].max()) / math.tan(limit_rad) - 1e-6)


def _short(draft: Draft, order: Order, paths: Paths) -> list[Note]:
    """Spans whose units lean too far only because they pass over and under, or in passes."""
    limit = draft.loom.lean_limit_rad
    height = np.array([span.height_mm for span in draft.spans])
    lean = np.arctan(paths.steep_mm.max(axis=1, initial=0.0) / height)
    notes = []
    for k in np.flatnonzero((lean > limit + 1e-9) & (paths.max_lean_rad <= limit + 1e-9)):
        span = draft.spans[k]
        facts = {
            "span": span.number,
            "unit": order.names[int(np.argmax(paths.steep_mm[k]))],
            "lean": round(math.degrees(float(lean[k]))),
            "limit": round(math.degrees(limit)),
            "height": written(least_height_mm(paths, int(k), limit), draft.measure),
        }
        notes.append(doubt("span-too-short", span.given.get("height_mm", span.where), **facts))
    return notes


def _piles(draft: Draft, paths: Paths) -> list[Note]:
    clamp, opening = draft.loom.clamp_mm, draft.loom.opening_mm
    limit, what = min((clamp, "the clamp takes"), (opening, "the opened batten clears"))
    notes = []
    for k in np.flatnonzero(paths.pile_mm > limit):
        spot = paths.pile_at[k]
        if spot is None:
            continue
        facts = {
            "span": draft.spans[k].number,
            "pile": written(float(paths.pile_mm[k]), draft.measure),
            "count": spot[0],
            "across": written(spot[1], draft.measure),
            "what": what,
            "limit": written(limit, draft.measure),
        }
        notes.append(doubt("pile-too-thick", draft.spans[k].where, **facts))
    return notes


def _flat(draft: Draft, order: Order, paths: Paths) -> list[Note]:
    notes = []
    for k in paths.pressing.left_flat:
        passes = len(order.spans[k].passes)
        why = "its units press on each other beyond what can be reckoned"
        if passes > MOST_PASSES:
            why = f"it is interlaced in {passes} passes; heights are worked out up to {MOST_PASSES}"
        span = draft.spans[k]
        notes.append(doubt("left-flat", span.where, span=span.number, why=why))
    return notes


def _squeezed(draft: Draft, order: Order, paths: Paths) -> list[Note]:
    need = np.array([_ends_side_by_side_mm(draft, unit.kind) for unit in draft.units])
    tight = paths.narrow_mm < need - TOLERANCE_MM
    notes = []
    for k in np.flatnonzero(tight.any(axis=1)):
        unit = int(np.argmin(paths.narrow_mm[k] - need))
        span = draft.spans[k]
        notes.append(
            doubt(
                "squeezed",
                span.given.get("height_mm", span.where),
                span=span.number,
                unit=order.names[unit],
                narrow=written(float(paths.narrow_mm[k, unit]), draft.measure),
                need=written(float(need[unit]), draft.measure),
            )
        )
    return notes


def _ends_side_by_side_mm(draft: Draft, kind: str) -> float:
    return sum(
        count
        * diameter_mm(
            draft.yarns[name].count.tex, draft.yarns[name].fibre, draft.yarns[name].diameter_mm
        ).value
        for count, name in draft.kinds[kind].ends
    )


def _wall(draft: Draft, paths: Paths) -> list[Note]:
    wall = draft.about.wall
    if wall is None:
        return []
    notes = []
    for side, free, need in (
        ("wide", wall.width_mm, max(paths.width_total_mm, paths.across_mm)),
        ("high", wall.height_mm, paths.height_total_mm),
    ):
        if free is not None and need > free:
            facts = {
                "side": side,
                "need": written(need, draft.measure),
                "free": written(free, draft.measure),
            }
            notes.append(doubt("larger-than-the-wall", wall.where, **facts))
    return notes

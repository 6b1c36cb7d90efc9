"""What is doubtful about where the units run?"""

from __future__ import annotations

import math

import numpy as np

from crossfell.base.notes import Note, Where, doubt, error
from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.materials.yarn import diameter_mm
from crossfell.order.model import Order
from crossfell.paths.model import Paths

TOLERANCE_MM = 0.05  # two units that touch by less than this do not overlap


def findings(draft: Draft, order: Order, paths: Paths) -> tuple[Note, ...]:
    """Everything doubtful about the paths, each pointing at its line of the draft."""
    return (
        *_overlaps(draft, order, paths),
        *_leans(draft, order, paths),
        *_squeezed(draft, order, paths),
        *_wall(draft, paths),
    )


def band_where(draft: Draft, band: int) -> Where:
    """Line of the draft that decides a band (index from 0): the span before it."""
    return draft.spans[band - 1].where if band else draft.bands[0].where


def _overlaps(draft: Draft, order: Order, paths: Paths) -> list[Note]:
    row = np.argsort(paths.x_mm, axis=1, kind="stable")
    x = np.take_along_axis(paths.x_mm, row, axis=1)
    half = paths.width_mm[row] / 2
    gap = np.diff(x, axis=1) - half[:, 1:] - half[:, :-1]
    notes = []
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
                height=written(math.ceil(sideways / math.tan(limit)), draft.measure),
            )
        )
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
        ("wide", wall.width_mm, paths.width_total_mm + 2 * draft.stock.overhang_mm),
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

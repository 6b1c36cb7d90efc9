"""What does each bobbin carry, and what is left on it as the piece grows?

Each unit's ends are wound together to one length: its own path, and everything that is spent
before, after and beside it. Lengths mm, masses g, volumes cm³.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from crossfell.base.notes import Note, doubt
from crossfell.base.quantities import written
from crossfell.draft.model import Draft, Loom, Warp
from crossfell.materials.yarn import mass_g
from crossfell.order.model import Floats
from crossfell.paths.masses import takeups_of
from crossfell.paths.model import Paths
from crossfell.paths.stage import yarn_diameter_mm


@dataclass(frozen=True, kw_only=True)
class Winding:
    """What one unit's bobbin takes, for each of its ends (mm)."""

    path_mm: float  # longest end through spans and bands
    takeup_mm: float  # extra in the bands
    sample_mm: float
    finish_mm: float  # both ends
    thrum_mm: float
    knots_mm: float
    spare: float  # share added
    total_mm: float  # of one end
    mass_g: float  # of all ends
    by_yarn: tuple[tuple[str, int, float], ...]  # yarn, ends, mass g
    volume_cm3: float  # that it fills on the bobbin

    @property
    def ends(self) -> int:
        """How many ends are wound."""
        return sum(count for _, count, _ in self.by_yarn)


@dataclass(frozen=True, kw_only=True)
class Bobbins:
    """Every bobbin. Arrays are [units] or [bands, units]."""

    windings: tuple[Winding, ...]
    left_mm: Floats  # [bands, units] of each end, behind the fell when the band is woven
    on_bobbin_mm: Floats  # [bands, units] of that, still wound on the bobbin
    mass_g: Floats  # [bands, units] bobbin and yarn on it
    notes: tuple[Note, ...]


def bobbins_of(draft: Draft, paths: Paths) -> Bobbins:
    """Work out every bobbin of a draft with a warp."""
    warp = draft.warp
    if warp is None:
        empty = np.zeros((len(draft.bands), 0))
        return Bobbins(windings=(), left_mm=empty, on_bobbin_mm=empty, mass_g=empty, notes=())
    height = paths.band_top_mm - paths.band_bottom_mm
    extra = takeups_of(draft)
    path = paths.edge_mm.sum(axis=0) + height.sum()
    windings = tuple(
        _winding(draft, warp, unit.kind, float(path[u]), float(extra[:, u].sum()))
        for u, unit in enumerate(draft.units)
    )
    into = np.concatenate((np.zeros((1, len(windings))), np.cumsum(paths.edge_mm, axis=0)))
    woven = into + np.cumsum(extra + height[:, None], axis=0)
    before = warp.knots_mm / 2 + warp.sample_mm + warp.finish_mm
    left = np.array([winding.total_mm for winding in windings]) - before - woven
    wound = np.maximum(left - free_length_mm(draft.loom), 0.0)
    tex = np.array([_tex(draft, unit.kind) for unit in draft.units])
    mass = draft.loom.bobbin_g + wound * tex * 1e-6
    for array in (left, wound, mass):
        array.setflags(write=False)
    return Bobbins(
        windings=windings,
        left_mm=left,
        on_bobbin_mm=wound,
        mass_g=mass,
        notes=_notes(draft, warp, windings),
    )


def free_length_mm(loom: Loom) -> float:
    """Warp (mm) between the fell and the bobbin, when its weight is freshly hung."""
    return loom.fell_to_heddle_mm + loom.heddle_to_back_mm + loom.back_to_weight_mm


def _winding(draft: Draft, warp: Warp, kind: str, path: float, takeup: float) -> Winding:
    spent = warp.sample_mm + 2 * warp.finish_mm + warp.thrum_mm + warp.knots_mm
    total = (path + takeup + spent) * (1 + warp.spare)
    by_yarn = tuple(
        (name, count, mass_g(total * count, draft.yarns[name].count.tex))
        for name, count in _ends_by_yarn(draft.kinds[kind].ends).items()
    )
    return Winding(
        path_mm=path,
        takeup_mm=takeup,
        sample_mm=warp.sample_mm,
        finish_mm=2 * warp.finish_mm,
        thrum_mm=warp.thrum_mm,
        knots_mm=warp.knots_mm,
        spare=warp.spare,
        total_mm=total,
        mass_g=math.fsum(mass for _, _, mass in by_yarn),
        by_yarn=by_yarn,
        volume_cm3=math.fsum(
            count * total * yarn_diameter_mm(draft, name) ** 2 / 1000 for name, count, _ in by_yarn
        ),
    )


def _ends_by_yarn(ends: tuple[tuple[int, str], ...]) -> Mapping[str, int]:
    counts: dict[str, int] = {}
    for count, name in ends:
        counts[name] = counts.get(name, 0) + count
    return counts


def _tex(draft: Draft, kind: str) -> float:
    return math.fsum(count * draft.yarns[name].count.tex for count, name in draft.kinds[kind].ends)


def _notes(draft: Draft, warp: Warp, windings: tuple[Winding, ...]) -> tuple[Note, ...]:
    notes = []
    holds = draft.loom.bobbin_holds_cm3
    full = max(range(len(windings)), key=lambda u: windings[u].volume_cm3, default=None)
    if full is not None and windings[full].volume_cm3 > holds:
        facts = {
            "unit": draft.units[full].name,
            "volume": f"{windings[full].volume_cm3:.0f}",
            "holds": f"{holds:.0f}",
            "count": sum(winding.volume_cm3 > holds for winding in windings),
        }
        where = draft.loom.given.get("bobbin_holds_cm3", draft.units[full].where)
        notes.append(doubt("bobbin-overfull", where, **facts))
    reach = draft.loom.fell_to_heddle_mm + draft.loom.heddle_to_back_mm
    there = warp.thrum_mm + warp.knots_mm / 2
    if there < reach:
        facts = {
            "there": written(there, draft.measure),
            "need": written(reach, draft.measure),
            "thrum": written(reach - warp.knots_mm / 2, draft.measure),
        }
        notes.append(doubt("thrum-too-short", warp.given.get("thrum_mm", warp.where), **facts))
    return tuple(notes)

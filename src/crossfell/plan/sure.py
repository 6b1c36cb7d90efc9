"""How sure are lengths and amounts, when what was put in is a little uncertain?

What is wrong by itself, each time otherwise (the lengths of woven spans), adds up as the root of
the sum of squares; what is wrong alike everywhere (a take-up or a count that was measured once)
adds up straight. Source: JCGM 100 (GUM), 5.1.2 for the one, 5.2.2 for the other.
Checked: tests/plan/test_sure.py, by drafts with other values put in at random.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from crossfell.draft.model import Draft
from crossfell.paths.model import Paths
from crossfell.plan.amounts import Amounts
from crossfell.plan.winding import Group


@dataclass(frozen=True, kw_only=True)
class Sure:
    """Half widths: a value is what it is ± this."""

    winding_mm: tuple[float, ...]  # [units] of each end
    yarn_g: Mapping[str, float]  # of what is needed, by yarn


def sure_of(draft: Draft, paths: Paths, amounts: Amounts, groups: Sequence[Group]) -> Sure:
    """Carry what is known of errors into lengths and amounts."""
    spans_mm, bands_mm = _lengths(draft, paths)
    yarn_g = {need.yarn: 0.0 for need in amounts.yarns}
    for need in amounts.yarns:
        yarn = draft.yarns[need.yarn]
        ends = np.zeros(len(draft.units))
        for u in (u for group in groups for u in group.units):
            mine = (count for name, count, _ in amounts.windings[u].by_yarn if name == need.yarn)
            ends[u] = sum(mine)
        per_mm = ends * yarn.count.tex * 1e-6 * (1 + need.waste)
        parts = (
            need.need_g * yarn.count_error,
            float((per_mm * bands_mm).sum()),
            float(np.sqrt(((per_mm * spans_mm) ** 2).sum())),
        )
        error = float(np.hypot.reduce(parts))
        yarn_g[need.yarn] = error
    return Sure(
        winding_mm=tuple(np.hypot(spans_mm, bands_mm).tolist()),
        yarn_g=MappingProxyType(yarn_g),
    )


def _lengths(draft: Draft, paths: Paths) -> tuple[np.ndarray, np.ndarray]:
    """Errors (mm) of each end's winding length [units]: by its spans, and by its bands."""
    if draft.warp is None:
        return np.zeros(0), np.zeros(0)
    spans = np.sqrt(((paths.edge_mm * draft.warp.length_error) ** 2).sum(axis=0))
    alike = sum(band.takeup_error_mm for band in draft.bands if band.takeup_mm is not None)
    bands = np.full(len(draft.units), alike)
    return spans * (1 + draft.warp.spare), bands * (1 + draft.warp.spare)

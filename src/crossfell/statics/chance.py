"""By how much can lengths come out other than drawn, each end by itself?

A unit of n ends hangs as its ends do together: errors of single ends partly even out. What its
fibres then err by is a mean over the ends that each stands for, and neighbours share some.
Source: derived (covariance of weighted means). Checked: tests/statics/test_chance.py, by drawing
the error of every single end.
"""

from __future__ import annotations

import numpy as np

from crossfell.draft.model import Draft, UnitKind
from crossfell.statics.fibres import end_stiffnesses_n, fibre_count, parts_of, used_kinds
from crossfell.statics.springs import Floats

EACH_END = "each end"


def factors_of(draft: Draft) -> Floats:
    """[units, f, f] that turn f independent errors of size 1 into those of a unit's fibres."""
    each = bool(draft.warp and draft.warp.error_of == EACH_END)
    count = fibre_count(draft)
    made = {kind.name: _factor(draft, kind, count, each=each) for kind in used_kinds(draft)}
    return np.array([made[unit.kind] for unit in draft.units])


def _factor(draft: Draft, kind: UnitKind, count: int, *, each: bool) -> Floats:
    if not each:  # all ends of a unit are wrong alike
        return np.eye(count)[[0] * count]
    share = parts_of(draft, kind, count).T * end_stiffnesses_n(draft, kind)
    whole = share.sum(axis=1, keepdims=True)
    mean = np.divide(share, whole, out=np.zeros_like(share), where=whole > 0)
    size, way = np.linalg.eigh(mean @ mean.T)
    factor: Floats = way * np.sqrt(np.maximum(size, 0.0))
    return factor


def errors_of(factors: Floats, spans: int, error: float, seed: tuple[int, int]) -> Floats:
    """Errors as shares of the length [spans, units, f] of one piece of many; the same each time."""
    drawn = np.random.default_rng(seed).normal(0.0, error, (spans, *factors.shape[:2]))
    made: Floats = np.einsum("sui,uji->suj", drawn, factors)
    return made

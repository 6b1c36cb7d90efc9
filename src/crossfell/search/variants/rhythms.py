"""How could the same height be shared among the spans?

Each rhythm is a weight for each span. The whole height stays, no span falls below what its leans
need, and heights are whole millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
GOLDEN = (1 + math.sqrt(5)) / 2


def rhythms(spans: int) -> dict[str, Floats]:
    """Weights of each rhythm by its name [spans], first span woven first."""
    k = np.arange(spans)
    share = k / max(spans - 1, 1)
    return {
        "equal heights": np.ones(spans),
        "heights growing": 1 + share,
        "heights shrinking": 2 - share,
        "heights golden": GOLDEN ** (2 * share),
        "heights in a wave": 1.5 + np.sin(2 * math.pi * share),
    }


def heights(weights: Sequence[float] | Floats, least: Sequence[float], total: float) -> list[int]:
    """Heights (whole mm) in the rhythm of weights, none below its least, with the total (mm).

    Water-filling: a span that would fall below its least stands on it, the others share the rest.
    What rounding leaves goes to the largest remainders. Spans that need more than there is get
    their least.
    """
    floor = np.ceil(np.asarray(least, dtype=float))
    weight = np.asarray(weights, dtype=float)
    total = round(total)
    if floor.sum() >= total:
        return [int(height) for height in floor]
    bound = np.zeros(len(weight), dtype=bool)
    while True:
        room = total - floor[bound].sum()
        share = np.where(bound, floor, weight * room / weight[~bound].sum())
        low = ~bound & (share < floor)
        if not low.any():
            break
        bound |= low
    whole = np.floor(share)
    order = np.argsort(whole - share, kind="stable")
    whole[order[: int(total - whole.sum())]] += 1
    return [int(height) for height in whole]

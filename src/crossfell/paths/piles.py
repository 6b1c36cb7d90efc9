"""Where do most units lie over each other, and how thick is the pile?

Units are ribbons of their own width along their chords. A pile of several ribbons has its corners
among the corners of the fields that two of them share, so the middle and, just inside, the four
corners of each such field are looked at (slivers thinner than a fiftieth are left out).
Source: derived. Checked: tests/paths/test_piles.py, against a fine grid.
"""

from __future__ import annotations

import numpy as np

from crossfell.order.model import Floats, Ints
from crossfell.paths.meetings import Meetings

INSIDE = 0.98  # of the way from the middle of the shared field to its corner
CORNERS = ((1, 1), (1, -1), (-1, 1), (-1, -1))
AT_ONCE = 2_000_000  # numbers looked at in one go
Spot = tuple[int, float, float]  # units that lie there, x (mm), share of the height


def piles_of(
    meetings: Meetings, x_mm: Floats, width_mm: Floats, thick_mm: Floats
) -> tuple[Floats, tuple[Spot | None, ...]]:
    """Thickest pile [spans] (mm), and where; None where nobody meets.

    `x_mm` [bands, units]; `width_mm` [units], which is what a level cut shows at any lean;
    `thick_mm` [spans, units]. Interlaced spans are looked at along their chords.
    """
    thickest = np.max(thick_mm, axis=1, initial=0.0)
    spots: list[Spot | None] = [None] * len(thick_mm)
    span, at, x = _looked_at(meetings, x_mm, width_mm / 2)
    rows = max(AT_ONCE // max(len(width_mm), 1), 1)
    for start in range(0, len(span), rows):
        part = slice(start, start + rows)
        k, here = span[part], at[part, None]
        lines = (1 - here) * x_mm[k] + here * x_mm[k + 1]
        covers = np.abs(lines - x[part, None]) < width_mm / 2
        pile = (covers * thick_mm[k]).sum(axis=1)
        order = np.argsort(-pile, kind="stable")
        for which in order[np.unique(k[order], return_index=True)[1]].tolist():
            own = int(k[which])
            if spots[own] is None or pile[which] > thickest[own]:
                thickest[own] = pile[which]
                count = int(covers[which].sum())
                spots[own] = (count, float(x[part][which]), float(at[part][which]))
    return thickest, tuple(spots)


def _looked_at(meetings: Meetings, x_mm: Floats, half: Floats) -> tuple[Ints, Floats, Floats]:
    """Span, height (share) and x (mm) of the middle and inner corners of each shared field."""
    k, a, b = meetings.span, meetings.over, meetings.under
    start = x_mm[k, a] - x_mm[k, b]
    apart = x_mm[k + 1, a] - x_mm[k + 1, b] - start
    real = start * (start + apart) < 0
    k, a, b, start, apart = k[real], a[real], b[real], start[real], apart[real]
    at = -start / apart
    below, way = x_mm[k, a], x_mm[k + 1, a] - x_mm[k, a]
    heights, places = [at], [below + at * way]
    for sign_a, sign_b in CORNERS:
        # x_a(s) + sign_a half_a = x_b(s) + sign_b half_b
        corner_at = at + (sign_b * half[b] - sign_a * half[a]) / apart
        corner_at = np.minimum(np.maximum(corner_at, 0.0), 1.0)
        heights.append(at + INSIDE * (corner_at - at))
        places.append(below + heights[-1] * way + INSIDE * sign_a * half[a])
    return np.tile(k, 5), np.concatenate(heights), np.concatenate(places)

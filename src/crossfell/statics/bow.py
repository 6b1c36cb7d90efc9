"""How far does a slack unit bow, and how surely is that known?

A thread of length c + d between points c apart, drawn out by a light side load, hangs in a
parabola of rise f with d ≈ 8 f²/(3 c): f = √(3 c d / 8). Source: published, the shallow parabola,
e.g. Beer & Johnston, Statics. Checked: tests/outside/test_hung_bow.py against the exact parabola
and catenary of the published example (span 100, length 104).

The side load is the unit's own weight, so the formula holds for a leaning unit whose bow is small
beside its lean: f/c well below tan(lean)/8. A vertical unit has no side load: how far it bows, and
to which side, is decided by the stiffness and the set of the yarn; the formula is then no more
than a size.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from crossfell.statics.springs import Floats


def bow_mm(chord_mm: Floats, slack_mm: Floats) -> Floats:
    """Rise (mm) of the bow of threads `slack_mm` longer than their chords; any shape."""
    bow: Floats = np.sqrt(3 * chord_mm * np.maximum(slack_mm, 0.0) / 8)
    return bow


def bow_is_sure(chord_mm: Floats, slack_mm: Floats, lean_rad: Floats) -> NDArray[np.bool_]:
    """Whether the parabola describes the bow: f/c < tan(lean)/80, a tenth of its limit."""
    share = bow_mm(chord_mm, slack_mm) / np.maximum(chord_mm, 1e-9)
    sure: NDArray[np.bool_] = share < np.abs(np.tan(lean_rad)) / 80
    return sure

"""Which units carry a span, as drawn?

Of all tensions that carry what is below, the evenest: those nearest to a like share for each unit.
Source: non-negative least squares on the three equations of the free body, see quick.py.
Checked: tests/outside/test_hung_quick.py: they fulfil the equations.
"""

from __future__ import annotations

import numpy as np

from crossfell.draft.model import Draft
from crossfell.statics.balance import Rig
from crossfell.statics.quick import SpanHold, cuts_of, reach
from crossfell.statics.springs import Floats

FIRM = 1e5  # weight of the three equations against evenness
CARRIES = 0.02  # of a like share: less is taken as nothing


def carrying(draft: Draft, rig: Rig, holds: tuple[SpanHold, ...]) -> Floats:
    """Share of the weight below that each unit carries [spans, units]; zeros where it swings.

    By the middles of the units where those can carry it, else by their edges too.
    """
    units, down = len(draft.units), draft.on_wall().downwards
    shares = np.zeros((len(holds), units))
    cuts = cuts_of(rig)
    tangent = cuts.tangent.reshape(len(holds), units, -1)[down]
    x = cuts.x_mm.reshape(len(holds), units, -1)[down]
    low, high = reach(tangent.mean(axis=2), x.mean(axis=2))
    for k, hold in enumerate(holds):
        if min(-low[k], high[k]) >= 0:
            shares[k] = evenest(np.column_stack([tangent[k].mean(axis=1), x[k].mean(axis=1)]))
        elif hold.margin >= 0:
            fibres = evenest(np.column_stack([tangent[k].ravel(), x[k].ravel()]))
            shares[k] = fibres.reshape(units, -1).sum(axis=1)
    return shares


def evenest(points: Floats) -> Floats:
    """Vertical shares [n] ≥ 0 with sum 1, no side force and no moment, as even as can be."""
    from scipy.optimize import nnls

    count = len(points)
    arm = float(np.abs(points[:, 1]).max()) or 1.0
    equations = np.array([points[:, 0], np.ones(count), points[:, 1] / arm])
    left = np.vstack([FIRM * equations, np.eye(count)])
    right = np.concatenate([FIRM * np.array([0.0, 1.0, 0.0]), np.full(count, 1 / count)])
    found: Floats = nnls(left, right)[0]
    found[found < CARRIES / count] = 0.0
    return found

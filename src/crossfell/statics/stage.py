"""Does the piece hang as drawn? From its order and paths to where everything comes to rest."""

from __future__ import annotations

import numpy as np

from crossfell.draft.model import Draft
from crossfell.order.model import Order
from crossfell.paths.model import Paths
from crossfell.statics.balance import Rig
from crossfell.statics.findings import findings
from crossfell.statics.model import Hung
from crossfell.statics.newton import Rest, moved_by, rest_of, softest_n_per_mm
from crossfell.statics.rig import rig_of, with_errors
from crossfell.statics.springs import Floats


def hung_of(
    draft: Draft, order: Order, paths: Paths, rig: Rig | None = None, *,
    longer: Floats | None = None,
) -> Hung:  # fmt: skip
    """Let the piece hang. `longer` [spans, units, fibres] (weaving order) are shares of length.

    A piece that does not come to rest is returned as it was last, with a note that says so.
    Checked: tests/outside/test_hung_closed_forms.py, test_hung_minimisers.py.
    """
    rig = rig or rig_of(draft, order, paths)
    if longer is not None:
        rig = with_errors(rig, longer[draft.on_wall().downwards])
    rest = rest_of(rig)
    return hung_from(draft, paths, rig, rest)


def hung_from(draft: Draft, paths: Paths, rig: Rig, rest: Rest) -> Hung:
    """Read a rig at rest in weaving order, with notes."""
    down, units = draft.on_wall().downwards, len(draft.units)
    tension, slack, loose = unit_sums(rig, rest, units)
    pose = rest.pose[down]
    softest = softest_n_per_mm(rig, rest.stiffness)
    made = Hung(
        drift_mm=_fixed(pose[:, 0]),
        rise_mm=_fixed(pose[:, 1]),
        tilt_rad=_fixed(pose[:, 2]),
        tension_n=_fixed(tension[down]),
        slack_mm=_fixed(slack[down]),
        loose_mm=_fixed(loose[down]),
        cords_n=_fixed(rest.tension_n[1][0] if rig.cords is not None else np.zeros(0)),
        loosest_mm_per_n=loosest_mm_per_n(rig, rest),
        softest_n_per_mm=softest,
        residual=rest.residual,
        iterations=rest.steps,
        converged=rest.converged,
        stable=softest > 0,
        weight_n=rig.total_n,
        shrinkage_mm=float(rest.pose[-1, 1] - rest.pose[0, 1]),
        notes=(),
        rig=rig,
        rest=rest,
    )
    return Hung(**{**vars(made), "notes": findings(draft, paths, made)})


def unit_sums(rig: Rig, rest: Rest, units: int) -> tuple[Floats, Floats, Floats]:
    """Tension, slack of the tightest and of the loosest end [spans, units] (N, mm)."""
    shape = (rig.bands - 1, units, -1)
    there = rig.spans.k.reshape(shape) > 0
    e = rest.stretch_mm[0].reshape(shape)
    tightest = np.where(there, e, -np.inf).max(axis=2)
    loosest = np.where(there, e, np.inf).min(axis=2)
    tension = rest.tension_n[0].reshape(shape).sum(axis=2)
    return tension, np.maximum(-tightest, 0.0), np.maximum(-loosest, 0.0)


def loosest_mm_per_n(rig: Rig, rest: Rest) -> float:
    """How far the last rod gives way to each newton pushed sideways at it, to begin with."""
    force = np.zeros((rig.bands, 3))
    force[-1, 0] = 1.0
    moved = moved_by(rig, rest.stiffness, force)
    return float("inf") if moved is None else float(moved[-1, 0])


def _fixed(array: Floats) -> Floats:
    array = np.ascontiguousarray(array) + 0.0
    array.setflags(write=False)
    return array

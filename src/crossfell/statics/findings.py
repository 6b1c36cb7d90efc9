"""What should she know about how the piece will hang, before it does?"""

from __future__ import annotations

import math

import numpy as np

from crossfell.base.notes import Note, advice, doubt, error
from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.order.model import Order
from crossfell.paths.model import Paths
from crossfell.statics.bow import bow_mm
from crossfell.statics.cords import cords_of, rod_length_mm
from crossfell.statics.model import Hung

DRIFT_TOLD_MM = 2.0  # common practice: what hand-made lengths scatter by
BOW_TOLD_MM = 2.0
TILT_TOLD = 0.003  # mm per mm
ROUNDED_MM = 1.0  # a cord at the very end may be written a little too far


def findings(draft: Draft, order: Order, paths: Paths, hung: Hung) -> tuple[Note, ...]:
    """Everything doubtful about the hung shape, each pointing at its line of the draft."""
    cords = _cords(draft, paths)
    if not hung.converged:
        return (*cords, doubt("not-at-rest", draft.spans[0].where, residual=f"{hung.residual:.1g}",
                      steps=hung.iterations))  # fmt: skip
    return (*cords, *_drifts(draft, hung), *_slack(draft, order, paths, hung))


def _cords(draft: Draft, paths: Paths) -> list[Note]:
    """An error when a cord is tied where there is no rod; a doubt when one is too short."""
    if draft.hang.rail:
        return []
    length, cords = rod_length_mm(draft, paths), cords_of(draft, paths)
    beyond = [at for at in cords.at_mm.tolist() if at > length + ROUNDED_MM]
    if beyond:
        facts = {"at": written(beyond[0], draft.measure), "length": written(length, draft.measure)}
        return [error("cord-beyond-the-rod", draft.hang.given["cords"], **facts)]
    side = cords.point_mm - cords.at_mm
    taken = np.hypot(side, cords.up_mm)
    short = int(np.argmax(taken))
    if taken[short] <= draft.hang.cord_length_mm + ROUNDED_MM:
        return []
    facts = {
        "length": written(draft.hang.cord_length_mm, draft.measure),
        "side": written(abs(float(side[short])), draft.measure),
        "taken": written(float(taken[short]), draft.measure),
    }
    given = draft.hang.given
    where = next((given[key] for key in ("cord_length_mm", "points", "cords") if key in given),
                 draft.hang.where)  # fmt: skip
    return [doubt("cord-too-short", where, **facts)]


def _drifts(draft: Draft, hung: Hung) -> list[Note]:
    """One doubt when rods come to rest elsewhere than drawn, at the first span that lets go."""
    most = int(np.abs(hung.drift_mm).argmax())
    tilt = int(np.abs(hung.tilt_rad).argmax())
    drift, slope = float(hung.drift_mm[most]), float(hung.tilt_rad[tilt])
    if abs(drift) < DRIFT_TOLD_MM and abs(slope) < TILT_TOLD:
        return []
    lets_go = int(np.abs(np.diff(hung.drift_mm)).argmax())
    return [
        doubt(
            "hangs-otherwise",
            draft.spans[lets_go].where,
            band=most + 1,
            drift=written(abs(drift), draft.measure),
            side="right" if drift > 0 else "left",
            tilted=tilt + 1,
            tilt=f"{1000 * abs(math.tan(slope)):.1f}",
        )
    ]


def _slack(draft: Draft, order: Order, paths: Paths, hung: Hung) -> list[Note]:
    """One advice when units visibly bow, at the one that bows most."""
    bow = bow_mm(paths.chord_mm, hung.slack_mm)
    seen = bow > BOW_TOLD_MM
    notes = []
    if seen.any():
        k, u = np.unravel_index(int(bow.argmax()), bow.shape)
        notes.append(
            advice(
                "units-bow",
                draft.spans[int(k)].where,
                count=int(seen.sum()),
                unit=order.names[int(u)],
                span=int(k) + 1,
                slack=f"{hung.slack_mm[k, u]:.2f}",
                bow=f"{bow[k, u]:.0f}",
            )
        )
    turned = np.array([span.half_turns != 0 for span in order.spans]).reshape(bow.shape)
    middle = np.where(turned & (hung.slack_mm == 0), bow_mm(paths.chord_mm, hung.loose_mm), 0.0)
    if (middle > BOW_TOLD_MM).any():
        k, u = np.unravel_index(int(middle.argmax()), middle.shape)
        notes.append(
            advice(
                "middle-hangs-loose",
                draft.spans[int(k)].where,
                unit=order.names[int(u)],
                span=int(k) + 1,
                slack=f"{hung.loose_mm[k, u]:.2f}",
                bow=f"{middle[k, u]:.0f}",
            )
        )
    return notes

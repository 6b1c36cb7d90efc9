"""What should she know about how the piece will hang, before it does?"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from crossfell.base.notes import Note, advice, doubt, error
from crossfell.base.quantities import written
from crossfell.draft.model import Draft
from crossfell.order.model import Order
from crossfell.paths.model import Paths
from crossfell.statics.bow import bow_mm
from crossfell.statics.cords import cords_of, mass_centre_mm, rod_length_mm
from crossfell.statics.model import Hung
from crossfell.statics.quick import SpanHold, hold_notes
from crossfell.statics.verdict import AS_DRAWN, MOVES, NO_REST, TURNS_OVER, Verdict
from crossfell.statics.verdict_told import in_words, little, sentences

if TYPE_CHECKING:
    from crossfell.statics.bending import BentPiece

ROUNDED_MM = 1.0  # a cord at the very end may be written a little too far


def findings(draft: Draft, paths: Paths, hung: Hung) -> tuple[Note, ...]:
    """What is doubtful about the rig, each pointing at its line of the draft."""
    cords = _cords(draft, paths)
    if not hung.converged:
        return (*cords, doubt("not-at-rest", draft.spans[0].where, residual=f"{hung.residual:.1g}",
                      steps=hung.iterations))  # fmt: skip
    return tuple(cords)


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


def hanging_notes(
    draft: Draft, paths: Paths, holds: tuple[SpanHold, ...], hung: Hung, verdict: Verdict
) -> tuple[Note, ...]:
    """Findings of the hung piece: what swings explains a piece that moves, and is then told too."""
    explains = verdict.word in {MOVES, TURNS_OVER, NO_REST}
    swings = hold_notes(draft, holds) if explains else ()
    return (*swings, *_verdict(draft, paths, hung, verdict), *hung.notes)


def bows_at_all(draft: Draft, paths: Paths, hung: Hung) -> bool:
    """Whether any unit could be seen to bow: with stiff rods it bows by half of that at least."""
    most = max(hung.slack_mm.max(initial=0.0), hung.loose_mm.max(initial=0.0))
    return bool(hung.converged and bow_mm(paths.chord_mm, np.full_like(paths.chord_mm, most)).max()
                > draft.hang.bows_mm / 2)  # fmt: skip


def _verdict(draft: Draft, paths: Paths, hung: Hung, verdict: Verdict) -> list[Note]:
    """One note for a piece that does not hang as drawn, at the first span that lets go."""
    if verdict.says in {AS_DRAWN, NO_REST}:
        return []
    said = in_words(verdict, draft.measure)
    if verdict.says == TURNS_OVER:
        centre = mass_centre_mm(draft, paths)
        why = " ".join(sentences(verdict, draft.measure, centre)[1:]) if verdict.cause else said
        return [doubt("turns-over", draft.hang.where, verdict=said, why=why)]
    lets_go = int(np.abs(np.diff(hung.drift_mm)).argmax())
    made = doubt if verdict.says == MOVES else advice
    return [made("hangs-otherwise", draft.spans[lets_go].where, verdict=said, band=verdict.band,
                 moved=little(verdict.moved_mm, draft.measure),
                 tilted=verdict.tilted,
                 tilt=f"{1000 * math.tan(verdict.tilt_rad):.1f}")]  # fmt: skip


def bow_notes(draft: Draft, order: Order, paths: Paths, hung: BentPiece) -> list[Note]:
    """One advice when units visibly bow, at the one that bows most; with rods that bend."""
    bow = bow_mm(paths.chord_mm, hung.slack_mm)
    seen = bow > draft.hang.bows_mm
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
    if (middle > draft.hang.bows_mm).any():
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

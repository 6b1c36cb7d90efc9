"""How far from the middle of a place a strip, or a bobbin, goes: told with its last move."""

import pytest

from crossfell.plan.phrasebook import teller_of
from random_drafts import written_drafts

PIECES = [written.piece() for written in written_drafts(100)]
MOVES = {
    "front": {"lay", "cross", "carry", "roll", "shift"},
    "back": {"clear", "clear-cross", "clear-carry", "clear-roll", "clear-shift"},
}


@pytest.mark.parametrize("side", MOVES)
def test_steps_leave_every_unit_as_far_off_the_middle_as_drafted(side):
    spans = 0
    for piece in PIECES:
        at = dict(enumerate(piece.order.place[0].tolist()))
        off = dict.fromkeys(at, 0.0)
        for step in piece.plan.steps:
            if step.kind in MOVES[side]:
                moves = zip(step.units, step.to_places, step.off_mm, strict=True)
                along = ((unit, end, off_mm) for unit, _, end, off_mm in step.along)
                for unit, place, off_mm in (*moves, *along):
                    at[unit], off[unit] = place, off_mm
            if step.kind == "clamp":
                assert at == dict(enumerate(piece.order.place[step.span].tolist()))
                assert off == dict(enumerate(piece.order.offset_mm[step.span].tolist()))
                spans += any(off.values())
    assert spans > 50


@pytest.mark.parametrize("side", MOVES)
def test_the_sentence_says_it_as_who_stands_there_sees_it(side):
    said = 0
    for piece in PIECES:
        tell = teller_of(piece.draft)
        for step in piece.plan.steps:
            if step.kind not in MOVES[side]:
                continue
            text = tell.sentence(step)
            offs = (*step.off_mm, *(along.off_mm for along in step.along))
            right = [off for off in offs if (off > 0) == (side == "front") and off]
            left = [off for off in offs if (off < 0) == (side == "front") and off]
            assert bool(right) == (" to the right of " in text), text
            assert bool(left) == (" to the left of " in text), text
            said += bool(right) + bool(left)
    assert said > 50

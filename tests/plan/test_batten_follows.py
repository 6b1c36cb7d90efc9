"""What lies where, step after step: as drafted, and as the loom of the rehearsal has it.

The rehearsal keeps strands and a loom of its own (plan/strands.py, plan/loom_states.py).
"""

import pytest

from crossfell.order.batten import CannotLie, batten_at
from crossfell.order.braid import same_braid
from crossfell.plan.following import follow, in_parts, pass_through
from crossfell.plan.loom_states import RehearsedLoom
from random_drafts import written_drafts

PIECES = [written.piece() for written in written_drafts(100)]


def begun(piece):
    return batten_at(piece.order, 0, piece.draft.place_count)


def by_unit(row):
    return [row.at[unit] for unit in sorted(row.at)]


def test_steps_lead_strips_and_bobbins_from_band_to_band_as_drafted():
    off = turned = 0
    for piece in PIECES:
        batten, order = begun(piece), piece.order
        for step in piece.plan.steps:
            follow(batten, step)
            if step.kind == "clamp":
                for row in (batten.strips, batten.bobbins):
                    assert by_unit(row) == order.place[step.span].tolist()
                    assert row.off_mm == order.offset_mm[step.span].tolist()
                    assert row.face == order.face[step.span].tolist()
                    assert not row.held
                off += any(batten.strips.off_mm)
                turned += -1 in batten.strips.face
    assert off > 50
    assert turned > 50


def test_after_every_step_it_stands_as_the_loom_of_the_rehearsal():
    steps = 0
    for piece in PIECES:
        batten, loom = begun(piece), RehearsedLoom(piece.draft)
        for step in piece.plan.steps:
            follow(batten, step)
            loom.do(step)
            for row, strands in ((batten.strips, loom.strips), (batten.bobbins, loom.bobbins)):
                assert (row.at, row.held, row.ranks) == (strands.place, strands.held, strands.order)
            assert batten.strips.face == loom.faces
            assert batten.strips.now == loom.row()
            steps += 1
    assert steps > 5000


def test_lays_cross_whom_the_step_says_and_make_the_drafted_braid():
    for piece in PIECES:
        batten, word, n = begun(piece), [], len(piece.order.names)
        for step in piece.plan.steps:
            for part in in_parts(step):
                if part.kind == "lay":
                    laid = batten.strips.lay(part.units, part.to_places, part.off_mm)
                    ahead = part.to_places > part.from_places
                    for one in reversed(laid) if ahead else laid:
                        word += [letter for _, letter in one.passed]
                        assert sorted(one.others) == sorted(part.over + part.under)
                elif part.kind in {"carry", "roll"}:
                    made = pass_through(batten.strips, part)
                    word += [crossing.letter for crossing in made]
                else:
                    follow(batten, part)
            if step.kind == "close":
                assert same_braid(n, word, piece.order.spans[step.span - 1].word)
                word = []


def test_who_is_laid_over_another_lies_above_it():
    for piece in PIECES:
        batten = begun(piece)
        for step in piece.plan.steps:
            follow(batten, step)
            if step.kind in {"lay", "clear"}:
                stack = batten.row(behind=step.kind == "clear").lying.stack
                for unit in step.units:
                    assert all(stack.index(unit) > stack.index(low) for low in step.over)
                    assert all(stack.index(unit) < stack.index(top) for top in step.under)


@pytest.mark.parametrize(
    "moves",
    [
        lambda row: row.lay((0,), (1,)),
        lambda row: row.lift((0, 0), below=False),
        lambda row: (row.lift((0,), below=False), row.lay((0,), (2,))),
        lambda row: (row.lift((0,), below=False), row.lay((0,), (0,))),
        lambda row: (row.lift((0,), below=False), row.slide((0,), (1,))),
        lambda row: row.slide((0,), (3,)),
        lambda row: row.slide((0,), (2,)),
        lambda row: row.slide((0,), (0,)),
    ],
    ids=["not lifted", "lifted twice", "taken", "no place", "held", "passes", "lies on", "beyond"],
)
def test_what_no_unit_can_do_is_refused(moves):
    piece = next(p for p in PIECES if p.order.place[0].tolist()[:3] == [1, 2, 3])
    with pytest.raises(CannotLie):
        moves(begun(piece).strips)

"""The one verdict: from the solved shape, with the quick test as its explanation."""

import numpy as np
import pytest

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.statics.cords import cords_of, mass_centre_mm, top_left_mm
from crossfell.statics.quick import cords_hold
from crossfell.statics.verdict import (
    AGREE,
    AS_DRAWN,
    LOOK,
    MOVES,
    SETTLES,
    TURNS_OVER,
    WORDS,
)
from crossfell.statics.verdict_told import in_words, sentences
from crossfell.statics.wall import wall_loads
from hanging_samples import sample
from random_drafts import written_drafts
from small_piece import small_draft


def piece(*spans, hang="", warp="", **more):
    text = small_draft(*spans, **more).replace("[warp]", f"[warp]\n{warp}")
    return Piece(read_draft(text.replace("[band]", f"[hang]\n{hang}\n[band]")))


def carried(made):
    cords = cords_hold(made.draft, made.rig)
    return all(hold.holds for hold in made.holds) and (cords is None or cords.holds)


def soft(made):
    """Whether it moves by less than what cannot be seen on a wall."""
    return made.verdict.moved_mm < 0.5


def judge(numbers):
    """Of random pieces woven so slackly that nothing is let go: told and solved, side by side."""
    rows = []
    for number in numbers:
        made = Piece(read_draft(sample(number)))
        if made.computable and made.hung.converged:
            rows.append((carried(made), soft(made), made.verdict.moved_mm))
    return np.array(rows)


def test_what_is_carried_stays_and_what_swings_moves():
    """Turned, uneven and gapped pieces, nails and one-sided cords among them."""
    told, still, moved = judge(range(60)).T
    assert told.sum() > 20
    assert (1 - told).sum() > 5
    assert moved[told == 1].max() < 5
    assert not still[told == 0].any()


@pytest.mark.soak
def test_no_false_carried_and_few_false_swings_in_two_thousand():
    told, still, moved = judge(range(2000)).T
    assert moved[told == 1].max() < 5
    assert still[told == 0].mean() < 0.02


def test_a_turned_unit_has_an_inner_and_an_outer_edge_that_hold_it():
    made = piece("shift 1-7 right 14 mm, turn 3-5 right", order="a*7 -")
    assert [hold.state for hold in made.holds] == ["carried"]
    assert made.verdict.word == AS_DRAWN


def test_mass_within_the_edge_of_the_last_unit_does_not_tip_it():
    """The middles of the units all lie on one side of it: rods reach to where the units go."""
    text = small_draft("", "shift 1-2 right 2 places", order="a*2 - - -", height=600)
    made = Piece(read_draft(text))
    below = made.rig.moment_x[1:].sum() / made.rig.weight_n[1:].sum()
    middle, edge = made.rig.spans.below_x[0, 4:]
    assert middle < below < edge
    assert made.holds[0].holds
    assert made.verdict.word != TURNS_OVER


def test_cords_on_one_side_of_the_mass_turn_it_over_and_the_remedy_is_told():
    made = piece("1 over 2, 3 over 4", hang="cords = [20, 50]")
    verdict = made.verdict
    assert verdict.word == TURNS_OVER
    assert verdict.cause in {"beside-cords", "slack-cord"}
    assert verdict.tilt_rad > np.radians(30)
    told = " ".join(sentences(verdict, "mm", mass_centre_mm(made.draft, made.paths)))
    assert told.startswith("It turns over")
    assert "Tie one cord on either side" in told
    assert "turns-over" in [note.code for note in made.notes]


def test_least_bending_never_tips():
    """Whatever side the mass hangs on, it lies between the cords."""
    for order in ("a*4", "a*2 - - - -", "- - - - a*2", "a - - - - -"):
        made = piece("", order=order)
        at = cords_of(made.draft, made.paths).at_mm
        centre = mass_centre_mm(made.draft, made.paths)
        assert at[0] < centre < at[1]
        assert made.hung.cords_n.min() > 0 or made.verdict.word == TURNS_OVER


def test_the_mass_centre_told_is_the_one_that_hangs():
    for number in (3, 4, 8, 9):
        made = Piece(read_draft(sample(number)))
        hangs = made.rig.moment_x.sum() / made.rig.total_n + made.paths.width_total_mm / 2
        told = mass_centre_mm(made.draft, made.paths) + top_left_mm(made.draft, made.paths)
        assert told == pytest.approx(hangs, abs=1e-9)


def test_a_nail_with_two_cords_carries_the_weight_and_no_more():
    made = piece("1 over 2", hang="cords = [30, 90]\npoints = [60]\ncord_length = 60")
    points = wall_loads(made.draft, made.paths, made.hung).points
    assert made.hung.cords_n.sum() > 1.05 * made.hung.weight_n
    assert [point.load_n for point in points] == pytest.approx([made.hung.weight_n])


def test_limits_are_hers():
    leaning = ("shift 1-3 right 6 mm",)
    assert piece(*leaning, order="a*3 -").verdict.word == MOVES
    wide = "as_drawn = 20"
    assert piece(*leaning, order="a*3 -", hang=wide).verdict.word == AS_DRAWN
    assert piece(*leaning, order="a*3 -", hang="moves = 20").verdict.word == SETTLES


def test_where_lengths_decide_it_says_may():
    """True lengths all agree; with very rough ones two units tilt their rods, in some pieces more."""
    true, rough = (
        piece("1 over 2", "1 over 2", order="a*2", warp=f'length_error = "{error} %"').verdict
        for error in (0.001, 4)
    )
    assert (true.may, true.shares, in_words(true, "mm")) == (False, {AS_DRAWN: 1}, "hangs as drawn")
    assert rough.word == AS_DRAWN
    assert rough.may
    assert len(rough.shares) > 1
    assert in_words(rough, "mm").startswith("may ")
    assert sum(rough.shares.values()) == pytest.approx(1)


def all_hung(verdict):
    """The word and whether it is a may, as all pieces with errors have it."""
    shares = verdict.shares
    if shares.get(verdict.word, 0) >= AGREE:
        return verdict.word, False
    likely = [word for word, share in shares.items() if share >= 1 - AGREE]
    return max([verdict.word, *likely], key=WORDS.index), True


def test_what_is_known_without_hanging_all_pieces_with_errors_is_what_all_of_them_say():
    made = [Piece(read_draft(sample(n))) for n in (*range(12), 46, 48, 111)]  # three near a limit
    made += [written.piece() for written in written_drafts(12)]
    few = 0
    for piece in made:
        said = (piece.verdict.says, piece.verdict.may)
        few += piece.verdict.trials.hung <= LOOK
        if piece.verdict.runs:
            assert said == all_hung(piece.verdict)
    assert few > len(made) / 2


def test_what_swings_is_told_only_where_the_piece_moves():
    codes = {note.code for note in piece("shift 1-3 right 14 mm", order="a*3 -").notes}
    assert {"swings", "hangs-otherwise"} <= codes
    assert not {"swings", "hangs-otherwise"} & {n.code for n in piece("1 over 2").notes}

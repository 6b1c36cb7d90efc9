"""Every plan ends as drafted, and the model of the loom refuses what cannot be done."""

from itertools import pairwise

import pytest
from drafts_at_random import piece_from, pieces_at_random
from hypothesis import given, settings

from crossfell.order.braid import braid_of, same_braid
from crossfell.plan.rehearsal import RehearsedLoom, StepRefused, rehearsed


@settings(max_examples=16, deadline=None)
@given(pieces_at_random())
def test_the_plan_of_any_draft_ends_as_drafted_and_clear_behind(piece):
    """By the order kernel, not by bookkeeping: the loom's own braids against the draft's words."""
    loom = RehearsedLoom(piece.draft)
    n, span = len(piece.order.names), 0
    for step in piece.plan.steps:
        if step.band and step.band - 1 > span:
            assert same_braid(n, loom.front, piece.order.spans[span].word)
            assert loom.turns_front == piece.order.spans[span].half_turns.tolist()
            assert same_braid(n, loom.behind, ())
            assert not any(loom.turns_behind)
            span += 1
            row = [None] * piece.draft.place_count
            for unit, place in enumerate(piece.order.place[span].tolist()):
                row[place - 1] = unit
            assert loom.row() == tuple(row)
            assert loom.faces == piece.order.face[span].tolist()
        loom.do(step)
    assert span == len(piece.draft.spans)


@settings(max_examples=8, deadline=None)
@given(pieces_at_random(most_spans=2))
def test_no_step_that_touches_a_strip_can_be_left_out(piece):
    steps = piece.plan.steps
    needed = [s for s in steps if s.kind in {"lay", "clear", "turn", "clear-turn", "weights-off"}]
    for step in needed[:: max(len(needed) // 3, 1)]:
        with pytest.raises(StepRefused):
            rehearsed(piece.draft, piece.order, [s for s in steps if s is not step])


@settings(max_examples=8, deadline=None)
@given(pieces_at_random(most_spans=2))
def test_over_instead_of_under_is_never_missed(piece):
    """A lay from the other side of what it crosses is refused, or ends as another braid."""
    steps = piece.plan.steps
    for step in [s for s in steps if s.kind in {"lay", "cross"} and (s.over or s.under)][:4]:
        wrong = step._replace(over=step.under, under=step.over)
        with pytest.raises(StepRefused, match="crosses others than"):
            rehearsed(piece.draft, piece.order, [wrong if s is step else s for s in steps])


REFUSALS = [
    ("weights-off", "is still on"),
    ("level", "level"),
    ("open", "closed"),
    ("clamp", "not clamped"),
    ("unclamp", "clamp is still on"),
    ("hang", "nothing hangs"),
    ("thread", "not ready"),
    ("weights-on", "a weight is"),
    ("close", "open"),
    ("clear-cross", "crossed behind|held aside|does not hang"),
    ("unchain", "on its chains"),
    ("sampler", "not set up"),
]


@pytest.mark.parametrize(("left_out", "why"), REFUSALS)
def test_a_step_without_its_conditions_is_refused_and_says_why(left_out, why):
    piece = piece_from("2 over 3", "3 under 4")
    steps = [step for step in piece.plan.steps if step.kind != left_out]
    with pytest.raises(StepRefused, match=why):
        rehearsed(piece.draft, piece.order, steps)


def test_a_wet_band_is_not_handled():
    piece = piece_from("2 over 3")
    steps = [step._replace(not_before_min=0.0) for step in piece.plan.steps]
    with pytest.raises(StepRefused, match="wet"):
        rehearsed(piece.draft, piece.order, steps)


def test_the_same_shed_twice_is_refused():
    piece = piece_from("2 over 3")
    steps = [
        step._replace(sheds=tuple("up" for _ in step.sheds)) if step.kind == "pick" else step
        for step in piece.plan.steps
    ]
    with pytest.raises(StepRefused, match="would fall out"):
        rehearsed(piece.draft, piece.order, steps)


def test_sheds_are_carried_on_from_band_to_band():
    piece = piece_from("2 over 3", "turn 2 left", more="")
    sheds = [shed for step in piece.plan.steps for shed in step.sheds]
    assert sheds == ["up" if k % 2 == 0 else "down" for k in range(len(sheds))]


def test_another_plan_with_the_same_end_but_another_braid_is_refused():
    """Over and under exchanged in a whole span: the same arrangement, not the same piece."""
    over, under = piece_from("2 over 3"), piece_from("2 under 3")
    with pytest.raises(StepRefused, match="not crossed as drafted"):
        rehearsed(under.draft, under.order, over.plan.steps)


def test_what_happens_in_front_happens_in_reverse_behind():
    piece = piece_from("1-2 over 3-4")
    loom = RehearsedLoom(piece.draft)
    for step in piece.plan.steps:
        loom.do(step)
        if step.kind == "close":
            n = len(piece.order.names)
            assert braid_of(n, [*loom.front, *loom.behind]) == braid_of(n, [])
            assert not same_braid(n, loom.behind, ())


@settings(max_examples=9, deadline=None)
@given(pieces_at_random())
def test_walks_are_counted_and_no_more_than_needed(piece):
    plan = piece.plan
    sides = [step.side for step in plan.steps if step.side != "bench"]
    assert plan.walks == sum(a != b for a, b in pairwise(sides))
    assert plan.walks == plan.walks_needed


@pytest.mark.soak
@settings(max_examples=600, deadline=None)
@given(pieces_at_random(most_units=14, most_spans=6))
def test_many_larger_drafts_are_planned_and_end_as_drafted(piece):
    assert piece.plan.rehearsed.spans == len(piece.draft.spans)


@pytest.mark.soak
@settings(max_examples=300, deadline=None)
@given(pieces_at_random(most_units=12, more="[loom]\nlay_aside = false\nhand = 2\n"))
def test_many_drafts_are_passed_in_place_and_end_as_drafted(piece):
    assert piece.plan.rehearsed.spans == len(piece.draft.spans)


@pytest.mark.parametrize("kind", ["cross", "shift", "clear-cross", "clear-shift"])
def test_a_unit_too_far_to_the_right_in_its_place_is_refused(kind):
    piece = piece_from("shift 2 right 1 mm\n1 over 2\nshift 5 right 1 mm")
    steps = piece.plan.steps
    i, step = next((i, s) for i, s in enumerate(steps) if s.kind == kind)
    wrong = step._replace(off_mm=(step.off_mm[0] + 0.5, *step.off_mm[1:]))
    with pytest.raises(StepRefused):
        rehearsed(piece.draft, piece.order, (*steps[:i], wrong, *steps[i + 1 :]))

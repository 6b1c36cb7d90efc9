"""What the list says: sentences, sides, hands, waits, days, and both ways of handling."""

import re
from itertools import pairwise

import pytest
from drafts_at_random import piece_from, pieces_at_random
from hypothesis import given, settings

from crossfell.plan.minutes import days_of, span_times_of, times_of
from crossfell.plan.phrasebook import teller_of
from crossfell.plan.rehearsal import Refused, rehearsed

IN_PLACE = "[loom]\nlay_aside = false\n"


def texts(piece, *kinds):
    said = teller_of(piece.draft).sentence
    return [said(step) for step in piece.plan.steps if step.kind in kinds]


def test_a_lay_is_one_plain_sentence_with_names_places_and_over_or_under():
    piece = piece_from("1-2 over 3-5")
    assert texts(piece, "lift") == ["Lift out a1 and a2."]
    assert texts(piece, "lay") == [
        "Lay a1 and a2 from places 1-2 in places 4-5, over a3, a4 and a5."
    ]


def test_behind_the_same_lay_is_told_from_the_other_side():
    piece = piece_from("1-2 over 3-5")
    assert texts(piece, "clear") == [
        "Lay the bobbins of a2 and a1 from places 5-6 in places 2-3, over a5, a4 and a3."
    ]


def test_what_goes_under_is_taken_out_below():
    piece = piece_from("1-3 over 4")
    assert texts(piece, "lift") == ["Take a4 out below."]
    assert texts(piece, "lay") == [
        "Lay from below, a4 from place 4 in place 1, under a1, a2 and a3."
    ]


def test_many_side_by_side_are_named_by_the_first_and_the_last():
    piece = piece_from("1 over 2-9", warp="a*9")
    assert texts(piece, "lay") == ["Lay a1 from place 1 in place 9, over a2 to a9."]


def test_what_comes_later_is_said():
    piece = piece_from("1 over 2-3\n1 over 2", warp="a*3")
    assert any("later" in text for text in texts(piece, "lay"))


def test_a_hand_takes_no_more_than_the_loom_says():
    piece = piece_from("1-3 over 4-6", more="[loom]\nhand = 2\n")
    lays = [step for step in piece.plan.steps if step.kind == "lay"]
    assert [len(step.units) for step in lays] == [2, 1]
    assert (piece.plan.handled, piece.plan.hands) == (3, 2)


def test_a_unit_that_stays_in_its_place_keeps_its_weight():
    """a1 and a3 change sides over and under a2; with one weight at a time, a2's stays on."""
    moves = "2 over 3\n1 over 2\n2 over 3"
    piece = piece_from(moves, warp="a*3", more="[loom]\nhand = 1\n")
    off = next(step for step in piece.plan.steps if step.kind == "weights-off")
    assert off.windows == ((1, 1), (3, 3))
    assert piece.plan.handling[0].says == (
        "2 strips lifted in 2 hands, 4 weight windows: the least there is"
    )


def test_one_window_is_better_than_two_with_a_weight_between_them_left_on():
    piece = piece_from("2 over 3\n1 over 2\n2 over 3", warp="a*3")
    off = next(step for step in piece.plan.steps if step.kind == "weights-off")
    assert off.windows == ((1, 3),)


def test_an_interlaced_span_is_laid_in_passes_that_are_told_apart():
    piece = piece_from("1 over 2\n2 under 3\n1 over 2\n2 under 3", warp="a*3")
    lifts = texts(piece, "lift")
    assert lifts[0].startswith("Pass 1 of 2: ")
    assert any(text.startswith("Pass 2 of 2: ") for text in lifts)
    handling = piece.plan.handling[0]
    assert (handling.passes, handling.passes_least) == (2, 2)


def test_where_nothing_can_be_laid_aside_one_hand_is_up_at_a_time():
    piece = piece_from("1-2 over 3-5", "2 over 3\n4 under 5", more=IN_PLACE)
    held = 0
    for step in piece.plan.steps:
        if step.kind == "lift":
            assert held == 0
            held = len(step.units)
        if step.kind == "lay":
            assert len(step.units) == held
            held = 0
    assert {span.model for span in piece.plan.handling} == {"passed in place"}
    assert all(span.proved for span in piece.plan.handling)
    assert (
        "nothing is laid aside, each pair passes once: the least effort"
        in piece.plan.handling[0].says
    )


@pytest.mark.parametrize("moves", ["plait 1-6", "2 over 3\n1 over 2\n2 over 3"])
def test_a_plan_that_lays_aside_is_refused_on_a_loom_where_nothing_can_be(moves):
    aside, tight = piece_from(moves), piece_from(moves, more=IN_PLACE)
    assert aside.plan.handled <= tight.plan.handled
    with pytest.raises(Refused, match=r"nothing can be laid aside|one hand takes 4"):
        rehearsed(tight.draft, tight.order, aside.plan.steps)


@settings(max_examples=8, deadline=None)
@given(pieces_at_random(more=IN_PLACE))
def test_any_draft_is_planned_and_rehearsed_where_nothing_can_be_laid_aside(piece):
    for span in piece.plan.handling:
        assert span.effort_least <= span.effort
        assert span.lifted_least <= span.lifted
        assert span.hands_least <= span.hands


@settings(max_examples=8, deadline=None)
@given(pieces_at_random())
def test_what_the_handling_says_is_what_the_steps_do(piece):
    plan = piece.plan
    for span in plan.handling:
        steps = [step for step in plan.steps if step.span == span.span]
        lifted = sum(len(step.units) for step in steps if step.kind == "lift")
        windows = sum(len(s.windows) for s in steps if s.kind in {"weights-off", "weights-on"})
        assert (lifted, windows) == (span.lifted, span.windows)
        assert sum(step.kind == "lay" for step in steps) == span.hands
        assert span.lifted_least <= span.lifted
        assert span.hands_least <= span.hands
        assert span.windows_least <= span.windows
        assert span.passes_least <= span.passes


@settings(max_examples=8, deadline=None)
@given(pieces_at_random())
def test_a_span_goes_through_its_stations_in_order(piece):
    order = ["draw", "level", "weights-off", "open", "close", "weights-on", "clamp", "unchain"]
    for number in range(1, len(piece.draft.spans) + 1):
        kinds = [step.kind for step in piece.plan.steps if step.span == number]
        stations = [kind for kind in kinds if kind in order]
        assert stations in (order, ["draw"])


@settings(max_examples=8, deadline=None)
@given(pieces_at_random())
def test_days_hold_all_steps_and_end_where_she_may_stop(piece):
    plan = piece.plan
    assert plan.days[0].first == 1
    assert plan.days[-1].last == len(plan.steps)
    for day, following in pairwise(plan.days):
        assert following.first == day.last + 1
        assert plan.steps[day.last - 1].may_stop
    assert sum(day.work_min for day in plan.days) == pytest.approx(plan.minutes)


def test_times_have_a_range_and_add_up():
    plan = piece_from("1 over 2", "3 over 4").plan
    times = times_of(plan.steps)
    assert times.low < times.likely < times.high
    assert times.likely == pytest.approx(sum(step.minutes for step in plan.steps))
    assert set(span_times_of(plan.steps)) == {1, 2}


def test_her_own_minutes_count():
    plan = piece_from("1 over 2", more='[minutes]\npick = "10 min"\n').plan
    picks = [step for step in plan.steps if step.kind == "pick"]
    assert all(step.minutes == 10.0 * step.count for step in picks)


def test_a_long_day_holds_more_than_a_short_one():
    steps = piece_from("1 over 2", "3 over 4", "2 under 3").plan.steps
    assert len(days_of(steps, 600.0)) < len(days_of(steps, 200.0))


def test_drying_stands_before_the_step_that_needs_it():
    plan = piece_from("1 over 2").plan
    waits = {step.kind: step.not_before_min for step in plan.steps if step.not_before_min}
    assert waits["unclamp"] == 180.0
    assert waits["cut-down"] >= 2880.0 - 180.0


def test_places_on_the_front_count_from_the_weavers_left_and_behind_from_hers_there():
    piece = piece_from("1 over 2", warp="a*4 - -")
    said = teller_of(piece.draft).sentence
    shown = {step.side: re.findall(r"places? (\d+)", said(step)) for step in piece.plan.steps
             if step.kind in {"lay", "clear"}}  # fmt: skip
    assert shown == {"front": ["1", "2"], "back": ["6", "5"]}

"""What the list says: sentences, sides, hands, waits, days, and both ways of handling."""

import re
from itertools import pairwise

import pytest
from drafts_at_random import piece_from, pieces_at_random
from hypothesis import given, settings

from crossfell.plan.minutes import days_of, span_times_of, times_of
from crossfell.plan.phrasebook import teller_of
from crossfell.plan.rehearsal import StepRefused, rehearsed

IN_PLACE = "[loom]\nlay_aside = false\n"


def texts(piece, *kinds):
    said = teller_of(piece.draft).sentence
    return [said(step) for step in piece.plan.steps if step.kind in kinds]


def test_a_lay_is_one_plain_sentence_with_names_places_and_over_or_under():
    piece = piece_from("1-2 over 3-5")
    assert texts(piece, "cross") == [
        "Take a1 and a2 and lay them over a3, a4 and a5, into places 4-5; "
        "a3, a4 and a5 go to places 1-3."
    ]


def test_behind_the_same_lay_is_told_from_the_other_side():
    piece = piece_from("1-2 over 3-5")
    assert texts(piece, "clear-cross") == [
        "Take the bobbins of a2 and a1 and lay them over a5, a4 and a3, into places 2-3; "
        "a5, a4 and a3 go to places 4-6."
    ]


def test_what_goes_under_is_laid_from_below():
    moves = "2 over 3\n1 over 2\n2 over 3"
    piece = piece_from(moves, warp="a*3", more="[loom]\nhand = 1\n")
    assert texts(piece, "cross") == ["Take a3 and lay it from below, under a2, into place 1."]


def test_many_side_by_side_are_named_by_the_first_and_the_last():
    piece = piece_from("1 over 2-9", warp="a*9")
    said = texts(piece, "cross")[0]
    assert said.startswith("Take a1 and lay it over a2 to a9, into place 9;")


def test_what_comes_later_is_said():
    piece = piece_from("plait 1-6", warp="a*6")
    assert texts(piece, "lift") == ["Hang a5 aside, above."]
    assert any("(a5 comes over it later)" in text for text in texts(piece, "cross"))


def test_a_hand_takes_no_more_than_the_loom_says():
    piece = piece_from("1-3 over 4-6", more="[loom]\nhand = 2\n")
    hands = [step for step in piece.plan.steps if step.kind in {"cross", "lay"}]
    assert sorted(len(step.units) for step in hands) == [1, 2]
    assert (piece.plan.handled, piece.plan.hands) == (3, 2)


def test_a_unit_that_stays_in_its_place_keeps_its_weight():
    """a1 and a3 change sides over and under a2; with one weight at a time, a2's stays on."""
    moves = "2 over 3\n1 over 2\n2 over 3"
    piece = piece_from(moves, warp="a*3", more="[loom]\nhand = 1\n")
    off = next(step for step in piece.plan.steps if step.kind == "weights-off")
    assert off.windows == ((1, 1), (3, 3))
    assert piece.plan.handling[0].says == (
        "2 strips lifted in 2 hands, at most 2 loose at once, 4 weight windows, 10 min; "
        "no way lifts fewer than 2 strips"
    )


def test_one_window_is_better_than_two_with_a_weight_between_them_left_on():
    piece = piece_from("2 over 3\n1 over 2\n2 over 3", warp="a*3")
    off = next(step for step in piece.plan.steps if step.kind == "weights-off")
    assert off.windows == ((1, 3),)


def test_an_interlaced_span_is_laid_in_passes():
    piece = piece_from("1 over 2\n2 under 3\n1 over 2\n2 under 3", warp="a*3")
    handling = piece.plan.handling[0]
    assert (handling.passes, handling.passes_least, handling.lifted) == (2, 2, 2)
    assert "no way lifts fewer than 2 strips or takes less than" in handling.says
    assert texts(piece, "carry")[0] == (
        "Carry a1 over a2, under a3, into place 3; a2 and a3 go to places 1-2."
    )


def test_who_goes_right_round_is_carried_and_only_her_weight_comes_off():
    piece = piece_from("1 round 2-5", warp="a*5")
    assert texts(piece, "carry") == [
        "Carry a1 over a2 to a5, round a5 and back under a5 to a2, into place 1."
    ]
    off = next(step for step in piece.plan.steps if step.kind == "weights-off")
    assert off.windows == ((1, 1),)


def test_a_roll_is_one_step_in_front_and_one_behind():
    piece = piece_from("roll 2-5 right", warp="a*6")
    assert texts(piece, "roll", "clear-roll") == [
        "Take a2, a3, a4 and a5 together and turn them right as one, half a turn; "
        "from the left they are then a5 a4 a3 a2.",
        "Take the bobbins of a5, a4, a3 and a2 together and turn them left as one, half a turn "
        "(as seen from behind); from the left they are then a2 a3 a4 a5.",
    ]
    assert not texts(piece, "lift", "lay", "cross", "turn", "shift")


def test_where_nothing_can_hang_aside_hands_are_carried_one_by_one():
    piece = piece_from("1-2 over 3-5", "2 over 3\n4 under 5", more=IN_PLACE)
    kinds = {step.kind for step in piece.plan.steps}
    assert "carry" in kinds
    assert not kinds & {"lift", "lay", "cross"}
    assert {span.model for span in piece.plan.handling} == {"carried"}


def test_more_than_she_wrote_is_never_loose():
    """Three strips go over three, two in a hand: one hangs aside, or all go through one by one."""
    more = "[loom]\nhand = 2\n"
    free, held = (
        piece_from("1-3 over 4-6", more=text).plan.handling[0]
        for text in (more, more + "loose = 2\n")
    )
    assert (free.loose, held.loose) == (3, 2)
    assert held.minutes >= free.minutes


@pytest.mark.parametrize("moves", ["plait 1-6", "2 over 3\n1 over 2\n2 over 3"])
def test_a_plan_that_hangs_strips_aside_is_refused_where_nothing_can_hang(moves):
    aside, tight = piece_from(moves), piece_from(moves, more=IN_PLACE)
    with pytest.raises(StepRefused, match="nothing can hang aside"):
        rehearsed(tight.draft, tight.order, aside.plan.steps)


@settings(max_examples=8, deadline=None)
@given(pieces_at_random(more=IN_PLACE))
def test_any_draft_is_planned_and_rehearsed_where_nothing_can_be_laid_aside(piece):
    for span in piece.plan.handling:
        assert span.lifted_least <= span.lifted
        assert span.minutes_least <= span.minutes
        assert span.loose <= max(piece.draft.loom.hand, 3)


@settings(max_examples=8, deadline=None)
@given(pieces_at_random())
def test_what_the_handling_says_is_what_the_steps_do(piece):
    plan = piece.plan
    for span in plan.handling:
        steps = [step for step in plan.steps if step.span == span.span]
        hands = [step for step in steps if step.kind in {"lay", "cross", "carry"}]
        lifted = sum(len(step.units) for step in hands)
        windows = sum(len(s.windows) for s in steps if s.kind in {"weights-off", "weights-on"})
        assert (lifted, windows) == (span.lifted, span.windows)
        assert len(hands) == span.hands
        made = sum(s.minutes - 0.5 * (s is steps[0]) for s in steps if s.units or s.windows)
        walks = sum(a.side != b.side for a, b in pairwise(steps)) * 0.5
        assert span.minutes - 1e-9 <= made <= span.minutes + walks + 1e-9
        assert span.lifted_least <= span.lifted
        assert span.minutes_least <= span.minutes
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
             if step.kind in {"cross", "clear-cross"}}  # fmt: skip
    assert shown == {"front": ["2", "1"], "back": ["5", "6"]}

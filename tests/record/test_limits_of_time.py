"""Where work ends and a pause begins, what a walk takes, what was planned: to the minute."""

from dataclasses import fields
from itertools import pairwise

import pytest
from loomwork import Turned, marks_of, piece_of, tick

from crossfell.plan.own_minutes import usual_minutes
from crossfell.record.drying import drying_before
from crossfell.record.events import Event
from crossfell.record.hours import by_kind, hours_of
from crossfell.record.learned import learned_from, times_with
from crossfell.record.telling import log_table, log_text

PIECE = piece_of()
MARKS = marks_of(PIECE)


def a_mark(key, **other):
    """A mark like the first, but for what is said."""
    like = {field.name: getattr(MARKS[0], field.name) for field in fields(MARKS[0])}
    return type(MARKS[0])(**{**like, "key": key, **other})


@pytest.mark.parametrize(
    ("planned", "took", "worked"), [(1, 19.9, 19.9), (1, 20.1, 0), (10, 29.9, 29.9), (10, 30.1, 0)]
)
def test_a_stretch_of_twenty_minutes_and_three_times_the_plan_is_a_pause(planned, took, worked):
    clock = Turned()
    first = Event(kind="start", at=clock())
    (row,) = hours_of([first, tick(a_mark("one", minutes=planned), clock.after(took))])
    assert (row.minutes, row.measured) == (pytest.approx(worked), worked > 0)
    assert row.pause_min == pytest.approx(took - worked)


@pytest.mark.parametrize(("away", "worked"), [(19.9, 22.9), (20.1, 3)])
def test_a_screen_opened_again_within_twenty_minutes_goes_on(away, worked):
    clock = Turned()
    start, again = Event(kind="start", at=clock()), Event(kind="start", at=clock.after(away))
    (row,) = hours_of([start, again, tick(a_mark("one", minutes=9), clock.after(3))])
    assert row.minutes == pytest.approx(worked)


def test_the_walk_round_the_loom_is_taken_off_what_is_learned_and_added_to_what_is_planned():
    clock, walk = Turned(), usual_minutes()["walk"]
    assert walk > 0
    events = [Event(kind="start", at=clock())]
    for i in range(4):
        events.append(
            tick(a_mark(f"cross {i}", kind="cross", side="front", count=1), clock.after(6))
        )
        events.append(
            tick(a_mark(f"clear {i}", kind="clear-cross", side="back", count=2), clock.after(9))
        )
    learned = learned_from(hours_of(events))
    assert learned["clear-cross"].likely == pytest.approx((9 - walk) / 2)
    assert learned["cross"].low == learned["cross"].likely == pytest.approx(6 - walk)
    assert learned["cross"].high == pytest.approx(6 - 3 * walk / 4)  # only the first had no walk
    steps = [step for step in PIECE.plan.steps if step.kind in {"cross", "clear-cross"}]
    pair = next(pair for pair in pairwise(steps) if [s.side for s in pair] == ["front", "back"])
    pair = [step._replace(count=3) for step in pair]
    times, own = times_with(pair, learned)
    assert own == 2
    for name in ("low", "likely", "high"):
        alone = sum(getattr(learned[step.kind], name) * step.count for step in pair)
        assert getattr(times, name) == pytest.approx(alone + walk)


def test_what_she_said_of_a_band_before_does_not_hold_for_the_next():
    clock = Turned()
    dries = next(step for step in PIECE.plan.steps if step.not_before_min)
    at = dries.number - 1
    events = [tick(MARKS[at - 2], clock()), Event(kind="drying", at=clock(), says={"minutes": 999})]
    events.append(tick(MARKS[at - 1], clock.after(5)))
    assert drying_before(dries, events, clock()).left_min == dries.not_before_min
    assert drying_before(PIECE.plan.steps[0], events, clock()) is None


def test_planned_stands_beside_real_only_for_what_was_measured():
    clock = Turned()
    marks = [a_mark(f"lay {i}", kind="lay", minutes=4, count=1) for i in range(3)]
    events = [Event(kind="start", at=clock()), tick(marks[0], clock.after(7))]
    events += [tick(marks[1], clock.after(11)), tick(marks[2], clock.after(600))]
    (kind,) = by_kind(hours_of(events))
    assert (kind.steps, kind.measured) == (3, 2)
    assert (kind.planned_min, kind.real_min) == (8, 18)
    said = log_text("Low Water", log_table(PIECE.plan.steps, PIECE.order.names, events))
    (line,) = [line for line in said.splitlines() if line.startswith("lay")]
    assert "8 min" in line
    assert "18 min" in line


def test_a_clock_that_was_set_before_a_pause_is_told_with_the_step_that_ends_after_it():
    clock = Turned()
    events = [Event(kind="start", at=clock())]
    clock.wall += 86_400_000
    events += [Event(kind="pause", at=clock.after(2)), Event(kind="start", at=clock.after(5))]
    (row,) = hours_of([*events, tick(a_mark("one", minutes=9), clock.after(3))])
    assert (row.minutes, row.clock_was_set) == (pytest.approx(5), True)

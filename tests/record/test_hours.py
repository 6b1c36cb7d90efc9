"""Hours are those of work; times learn from them and no forgotten tick spoils them."""

import statistics

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from loomwork import Turned, marks_of, piece_of, tick

from crossfell.plan.minutes import HIGH, LOW
from crossfell.record.events import Event
from crossfell.record.hours import by_kind, hours_of
from crossfell.record.learned import learned_from, times_with


def test_a_step_takes_from_the_tick_before_to_its_own():
    clock = Turned()
    a, b, *_ = marks_of(piece_of())
    rows = hours_of(
        [
            Event(kind="start", at=clock()),
            tick(a, clock.after(11)),
            tick(b, clock.after(7.5)),
        ]
    )
    assert [(r.minutes, r.measured, r.pause_min) for r in rows] == [(11, True, 0), (7.5, True, 0)]


def test_a_pause_that_she_says_is_no_work():
    clock = Turned()
    a, *_ = marks_of(piece_of())
    rows = hours_of(
        [
            Event(kind="start", at=clock()),
            Event(kind="pause", at=clock.after(4)),
            Event(kind="start", at=clock.after(30)),
            tick(a, clock.after(5)),
        ]
    )
    assert [(r.minutes, r.measured, r.pause_min) for r in rows] == [(9, True, 30)]


def test_a_week_without_a_tick_is_a_pause_and_no_sample():
    clock = Turned()
    a, b, c, *_ = marks_of(piece_of())
    events = [
        Event(kind="start", at=clock()),
        tick(a, clock.after(10)),
        tick(b, clock.after(7 * 24 * 60)),
    ]
    rows = hours_of([*events, tick(c, clock.after(12))])
    assert (rows[1].minutes, rows[1].measured) == (0, False)
    assert rows[1].pause_min == 7 * 24 * 60
    assert (rows[2].minutes, rows[2].measured) == (12, True)


def test_a_screen_opened_after_a_week_starts_the_watch_again():
    clock = Turned()
    a, b, *_ = marks_of(piece_of())
    rows = hours_of(
        [
            Event(kind="start", at=clock()),
            tick(a, clock.after(10)),
            Event(kind="start", at=clock.after(7 * 24 * 60)),
            tick(b, clock.after(6)),
        ]
    )
    assert (rows[1].minutes, rows[1].measured, rows[1].pause_min) == (6, False, 7 * 24 * 60)


def test_a_second_screen_opened_while_she_works_changes_nothing():
    clock = Turned()
    a, b, *_ = marks_of(piece_of())
    rows = hours_of(
        [
            Event(kind="start", at=clock()),
            tick(a, clock.after(10)),
            Event(kind="start", at=clock.after(2)),
            tick(b, clock.after(3)),
        ]
    )
    assert (rows[1].minutes, rows[1].measured) == (5, True)


def test_ticks_in_a_burst_are_no_samples():
    clock = Turned()
    marks = marks_of(piece_of())[:4]
    events = [Event(kind="start", at=clock()), tick(marks[0], clock.after(12))]
    events += [tick(mark, clock.after(0.01)) for mark in marks[1:]]
    assert [row.measured for row in hours_of(events)] == [False, False, False, False]


def test_a_step_taken_back_took_time_but_is_no_sample():
    clock = Turned()
    a, *_ = marks_of(piece_of())
    rows = hours_of(
        [
            Event(kind="start", at=clock()),
            tick(a, clock.after(5)),
            Event(kind="back", at=clock.after(1), step=a),
            tick(a, clock.after(8)),
        ]
    )
    assert [(row.minutes, row.undone) for row in rows] == [(5, True), (9, False)]
    assert by_kind(rows)[0].steps == 1


MARKS = marks_of(piece_of())


@given(st.lists(st.floats(0.2, 9), min_size=3, max_size=20), st.integers(0, 5))
@settings(max_examples=40, deadline=None)
def test_what_is_learned_is_the_middle_and_forgotten_ticks_do_not_spoil_it(times, forgotten):
    clock = Turned()
    lay = next(mark for mark in MARKS if mark.kind == "cross")
    events = [Event(kind="start", at=clock())]
    for i, minutes in enumerate([*times, *([500.0] * forgotten)]):
        fields = {name: getattr(lay, name) for name in lay.__slots__}
        events.append(tick(type(lay)(**{**fields, "key": f"lay {i}"}), clock.after(minutes)))
    found = learned_from(hours_of(events))["cross"]
    assert found.steps == len(times)
    assert found.likely == pytest.approx(statistics.median(times), abs=1e-3)
    assert found.low <= found.likely <= found.high


def test_times_of_what_is_to_come_use_her_own_and_say_from_how_many():
    piece, clock = piece_of(), Turned()
    steps = piece.plan.steps
    usual, own = times_with(steps, {}, side="bench")
    assert own == 0
    assert usual.likely == pytest.approx(piece.plan.minutes)
    assert (usual.low, usual.high) == pytest.approx((LOW * usual.likely, HIGH * usual.likely))
    events = [Event(kind="start", at=clock())]
    events += [tick(mark, clock.after(2 * mark.minutes)) for mark in marks_of(piece)]
    learned = learned_from(hours_of(events))
    slower, own = times_with(steps, learned, side="bench")
    assert own == sum(step.kind in learned for step in steps) > 0
    assert usual.likely < slower.likely < 2 * usual.likely

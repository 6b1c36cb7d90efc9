"""How work is shared out into days and spans, on steps made by hand."""

import pytest

from crossfell.plan.minutes import days_of, span_times_of, times_of
from crossfell.plan.model import Action, Step

NIGHT = 24 * 60 - 360  # minutes from the end of a day of six hours to the next


def steps(*rows, span=1):
    """Steps of (minutes of work, minutes of drying before, whether she may stop after it)."""
    return [
        Step(number=number, span=span, band=None, side="front", kind=Action.PICK,
             minutes=work, not_before_min=wait, may_stop=stop)
        for number, (work, wait, stop) in enumerate(rows, 1)
    ]  # fmt: skip


def shared(*rows):
    return [(d.first, d.last, d.work_min, d.wait_min) for d in days_of(steps(*rows), 360.0)]


def test_a_day_takes_what_fits_to_the_minute_and_not_a_minute_more():
    assert shared((200, 0, True), (160, 0, True)) == [(1, 2, 360, 0)]
    assert shared((200, 0, True), (161, 0, True)) == [(1, 1, 200, 0), (2, 2, 161, 0)]


def test_drying_fills_the_day_and_a_night_dries_what_is_wet():
    assert shared((100, 0, True), (60, 200, True)) == [(1, 2, 160, 200)]
    assert shared((100, 0, True), (61, 200, True)) == [(1, 1, 100, 0), (2, 2, 61, 0)]
    assert shared((100, 0, True), (60, NIGHT + 90, True))[1] == (2, 2, 60, 90)


def test_before_the_first_day_there_is_no_night():
    assert shared((60, 90, True)) == [(1, 1, 60, 90)]


def test_she_stops_only_where_she_may():
    assert shared((300, 0, False), (300, 0, True), (10, 0, False)) == [
        (1, 2, 600, 0),
        (3, 3, 10, 0),
    ]


def test_a_span_has_its_moves_and_the_band_after_it():
    first, *_ = steps((5, 0, False))
    band = [
        Step(number=n, span=None, band=n, side="front", kind=Action.PICK, minutes=7.0)
        for n in (1, 2)
    ]
    bench = Step(number=9, span=None, band=None, side="bench", kind=Action.WIND, minutes=9.0)
    found = span_times_of([bench, band[0], first, band[1]])
    assert {number: times.likely for number, times in found.items()} == {1: 12.0}
    times = times_of([first, *band])
    assert (times.low, times.likely, times.high) == pytest.approx((14.25, 19, 28.5))

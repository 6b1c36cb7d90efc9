"""Let-off: no weight beyond its travel, and no fewer trips."""

import itertools

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.loom.letoff import let_off

SPANS = st.lists(
    st.tuples(
        st.lists(st.integers(0, 30), min_size=3, max_size=3), st.integers(5, 40), st.booleans()
    ),
    min_size=1,
    max_size=8,
)


def split(spans):
    """Warp drawn [spans, units], heights, whether something moves."""
    height = np.array([h for _, h, _ in spans], dtype=float)
    more = np.array([row for row, _, _ in spans], dtype=float)
    return more + height[:, None], height, [moves for _, _, moves in spans]


def travels(drawn, height, at):
    """Warp drawn between the let-offs in spans `at` (numbers), [parts, units]."""
    into = np.cumsum(drawn, axis=0)
    marks = [0 * into[0], *(into[n - 1] - drawn[n - 1] + height[n - 1] for n in at), into[-1]]
    return np.diff(np.array(marks), axis=0)


def fewest_by_trying_all(drawn, height, drop, moving):
    spans = len(drawn)
    best = (spans + 1, spans + 1)
    for at in itertools.chain.from_iterable(
        itertools.combinations(range(1, spans + 1), n) for n in range(spans + 1)
    ):
        if travels(drawn, height, at).max() <= drop:
            best = min(best, (sum(not moving[n - 1] for n in at), len(at)))
    return best


@given(SPANS, st.integers(80, 150))
@settings(max_examples=60, deadline=None)
def test_trips_are_the_fewest_and_no_weight_goes_beyond_its_travel(spans, drop):
    drawn, height, moving = split(spans)
    plan = let_off(drawn, height, drop, moving)
    assert not plan.too_long
    extra = sum(trip.extra for trip in plan.trips)
    assert (extra, len(plan.trips)) == fewest_by_trying_all(drawn, height, drop, moving)
    travel = np.zeros(3)
    trips = {trip.span: trip for trip in plan.trips}
    for number, (row, first) in enumerate(zip(drawn, height, strict=True), 1):
        travel += first
        assert travel.max() <= drop
        if number in trips:
            assert trips[number].units
            travel[list(trips[number].units)] = 0
        travel += row - first
        assert travel.max() <= drop


@given(SPANS)
@settings(max_examples=20)
def test_each_weight_runs_out_where_its_own_path_takes_it(spans):
    drawn, height, _ = split(spans)
    plan = let_off(drawn, height, 90, [True] * len(drawn))
    for unit, span in enumerate(plan.runs_out):
        beyond = np.flatnonzero(np.cumsum(drawn[:, unit]) > 90)
        assert span == (int(beyond[0]) + 1 if len(beyond) else None)


def test_a_span_longer_than_the_drop_is_named():
    drawn, height = np.array([[50.0], [120.0], [30.0]]), np.array([45.0, 110.0, 25.0])
    assert let_off(drawn, height, 100, [True] * 3).too_long == (2,)
    drawn, height = np.array([[50.0], [120.0]]), np.array([45.0, 10.0])
    assert let_off(drawn, height, 100, [True, True]).too_long == (2,)

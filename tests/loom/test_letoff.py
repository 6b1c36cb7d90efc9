"""Let-off: no weight beyond its travel, and no fewer trips."""

import itertools

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.loom.letoff import let_off

SPANS = st.lists(
    st.tuples(st.lists(st.integers(5, 60), min_size=3, max_size=3), st.booleans()),
    min_size=1,
    max_size=8,
)


def fewest_by_trying_all(drawn, drop, moving):
    spans = len(drawn)
    best = (spans + 1, spans + 1)
    for at in itertools.chain.from_iterable(
        itertools.combinations(range(1, spans), n) for n in range(spans)
    ):
        parts = np.split(drawn, list(at))
        if all(part.sum(axis=0).max() <= drop for part in parts):
            best = min(best, (sum(not moving[k] for k in at), len(at)))
    return best


@given(SPANS, st.integers(60, 150))
@settings(max_examples=60, deadline=None)
def test_trips_are_the_fewest_and_no_weight_goes_beyond_its_travel(spans, drop):
    drawn = np.array([row for row, _ in spans], dtype=float)
    moving = [moves for _, moves in spans]
    plan = let_off(drawn, drop, moving)
    assert (sum(trip.extra for trip in plan.trips), len(plan.trips)) == fewest_by_trying_all(
        drawn, drop, moving
    )
    travel = np.zeros(3)
    trips = {trip.span: trip for trip in plan.trips}
    for number, row in enumerate(drawn, 1):
        if number in trips:
            assert trips[number].units
            travel[list(trips[number].units)] = 0
        travel += row
        assert travel.max() <= drop


@given(SPANS)
@settings(max_examples=20)
def test_each_weight_runs_out_where_its_own_path_takes_it(spans):
    drawn = np.array([row for row, _ in spans], dtype=float)
    plan = let_off(drawn, 90, [True] * len(drawn))
    for unit, span in enumerate(plan.runs_out):
        total = np.cumsum(drawn[:, unit])
        beyond = np.flatnonzero(total > 90)
        assert span == (int(beyond[0]) + 1 if len(beyond) else None)


def test_a_span_longer_than_the_drop_is_named():
    assert let_off(np.array([[50.0], [120.0]]), 100, [True, True]).too_long == (2,)

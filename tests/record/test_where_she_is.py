"""She goes on at the right step, whatever happened to clock, network or draft meanwhile."""

from hypothesis import given, settings
from hypothesis import strategies as st
from loomwork import Turned, marks_of, piece_of, tick

from crossfell.record.clock import JUMPED_MS, elapsed, system_clock
from crossfell.record.drying import drying_before
from crossfell.record.events import Event
from crossfell.record.identity import keys_of
from crossfell.record.progress import done_steps, progress_of


def back(mark, at):
    return Event(kind="back", at=at, step=mark)


def where(piece, events):
    steps = piece.plan.steps
    return progress_of(steps, keys_of(steps, piece.order.names), done_steps(events))


def test_no_two_steps_of_a_plan_have_the_same_key():
    piece = piece_of()
    keys = keys_of(piece.plan.steps, piece.order.names)
    assert len(set(keys)) == len(keys)


def test_she_goes_on_after_the_last_tick():
    piece, clock = piece_of(), Turned()
    marks = marks_of(piece)
    for count in (0, 1, 7, len(marks)):
        found = where(piece, [tick(mark, clock()) for mark in marks[:count]])
        assert (found.at, found.changed) == (count, False)


def test_back_undoes_the_last_tick_only():
    piece, at = piece_of(), Turned()()
    a, b, c, *_ = marks_of(piece)
    assert where(piece, [tick(a, at), tick(b, at), back(b, at)]).at == 1
    stale = [tick(a, at), tick(b, at), tick(c, at), back(b, at)]
    assert where(piece, stale).at == 3
    assert where(piece, [tick(a, at), back(a, at), back(a, at)]).at == 0


NINE = marks_of(piece_of())[:9]


@given(st.data())
@settings(max_examples=40, deadline=None)
def test_two_screens_that_tick_the_same_plan_lose_and_double_nothing(data):
    """However two queues of ticks in order are mixed, and sent again, she is at the longer's end."""
    marks = NINE
    long, short = sorted(data.draw(st.tuples(st.integers(0, 9), st.integers(0, 9))), reverse=True)
    queues = [[tick(m, Turned()()) for m in marks[:n]] for n in (long, short)]
    mixed, left = [], [list(queue) for queue in queues]
    while any(left):
        queue = data.draw(st.sampled_from([q for q in left if q]))
        mixed.append(queue.pop(0))
    again = mixed + data.draw(st.permutations(mixed))
    assert [mark.number for mark in done_steps(again)] == list(range(1, long + 1))


def test_a_change_of_what_is_to_come_leaves_her_where_she_is():
    old, new = piece_of(), piece_of("2 over 3")
    marks = marks_of(old)
    first_of_two = next(i for i, mark in enumerate(marks) if mark.span == 2)
    found = where(new, [tick(mark, Turned()()) for mark in marks[:first_of_two]])
    assert (found.at, found.says) == (first_of_two, "")


def test_a_change_of_what_is_woven_is_said_and_she_goes_on_after_it():
    old, new = piece_of(), piece_of("1 over 2")
    marks = marks_of(old)
    last = max(i for i, mark in enumerate(marks) if mark.band == 3)
    found = where(new, [tick(mark, Turned()()) for mark in marks[: last + 1]])
    assert new.plan.steps[found.at - 1].band == 3
    assert new.plan.steps[found.at].span == 3
    assert "span 2" in found.says
    assert not found.in_the_middle
    assert {mark.span for mark in found.gone} == {2}


def test_a_change_of_the_span_that_she_is_in_asks_her_to_compare():
    old, new = piece_of(), piece_of("1 over 2")
    marks = marks_of(old)
    laid = next(i for i, mark in enumerate(marks) if mark.span == 2 and mark.kind == "cross")
    found = where(new, [tick(mark, Turned()()) for mark in marks[: laid + 1]])
    assert found.in_the_middle
    assert "compare the loom" in found.says
    assert new.plan.steps[found.at - 1].kind == "open"


def test_a_span_put_in_later_changes_numbers_but_not_her_place():
    """Keys do not lean on step numbers: more bobbins to wind shift them all."""
    old = piece_of()
    new = piece_of()
    done = [tick(mark, Turned()()) for mark in marks_of(old)[:12]]
    moved = [
        Event(
            kind="tick",
            at=e.at,
            step=type(e.step)(
                **{
                    **{n: getattr(e.step, n) for n in e.step.__slots__},
                    "number": e.step.number + 40,
                }
            ),
        )
        for e in done
    ]
    assert where(new, moved).at == 12


def test_a_clock_set_back_or_forward_while_running_changes_no_time():
    clock = Turned()
    start = clock()
    end = clock.after(2)
    for jump in (-3_600_000, 86_400_000):
        clock.wall = end.utc_ms + jump
        took = elapsed(start, clock())
        assert (took.ms, took.clock_was_set) == (120_000, abs(jump) > JUMPED_MS)


def test_after_a_restart_the_wall_clock_tells_and_never_a_negative_time():
    clock = Turned()
    start = clock()
    clock.boot, clock.run = "second", 10
    clock.wall += 600_000
    assert elapsed(start, clock()).ms == 600_000
    clock.wall -= 7_200_000
    assert elapsed(start, clock()).ms is None


def test_a_journey_through_time_zones_changes_no_time():
    clock = Turned(offset=60)
    start = clock()
    clock.offset = -300
    end = clock.after(30)
    assert elapsed(start, end).ms == 30 * 60_000
    assert start.text == "2025-11-25T13:00:00+01:00"
    assert end.text == "2025-11-25T07:30:00-05:00"


def test_the_clock_of_this_machine_runs_forwards():
    one, other = system_clock(), system_clock()
    assert (elapsed(one, other).ms or 0) >= 0
    assert one.boot == other.boot


def drying_step(piece):
    return next(step for step in piece.plan.steps if step.not_before_min)


def test_drying_runs_from_the_tick_before_and_ends():
    piece, clock = piece_of(), Turned()
    step = drying_step(piece)
    done = [tick(marks_of(piece)[step.number - 2], clock())]
    assert drying_before(step, done, clock.after(60)).left_min == step.not_before_min - 60
    assert drying_before(step, done, clock.after(10_000)).left_min == 0
    assert drying_before(piece.plan.steps[0], [], clock()) is None


def test_a_week_later_the_band_is_dry_even_after_a_restart():
    piece, clock = piece_of(), Turned()
    step = drying_step(piece)
    done = [tick(marks_of(piece)[step.number - 2], clock())]
    clock.boot, clock.run = "second", 0
    assert drying_before(step, done, clock.after(7 * 24 * 60)).left_min == 0


def test_a_clock_set_back_over_a_restart_does_not_make_a_wet_band_dry():
    piece, clock = piece_of(), Turned()
    step = drying_step(piece)
    done = [tick(marks_of(piece)[step.number - 2], clock())]
    clock.boot, clock.wall = "second", clock.wall - 86_400_000
    assert drying_before(step, done, clock()).left_min == step.not_before_min


def test_what_she_says_of_the_drying_holds():
    piece, clock = piece_of(), Turned()
    step = drying_step(piece)
    done = [
        tick(marks_of(piece)[step.number - 2], clock()),
        Event(kind="drying", at=clock.after(100), says={"minutes": 240}),
    ]
    assert drying_before(step, done, clock.after(60)).left_min == 180

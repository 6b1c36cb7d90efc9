"""Two drafts: the same crossings or not, where they part, and what differs, in words."""

from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.cli import main
from crossfell.order.same import same_order
from small_drafts import DRAFT, order_from

MOVES = st.tuples(st.integers(1, 5), st.sampled_from(["over", "under"])).map(
    lambda move: f"{move[0]} {move[1]} {move[0] + 1}"
)
SPANS = st.lists(st.lists(MOVES, max_size=4).map("\n".join), min_size=1, max_size=4)


def test_over_and_under_are_told_with_the_span_where_they_part():
    a = order_from("1-2 over 3-4", "2 over 3", "turn 1 right")
    b = order_from("1-2 over 3-4", "2 under 3", "turn 1 right")
    found = same_order(a, b)
    assert (found.same, found.parts_at) == (False, 2)
    assert found.differences == ("a1 passes under a4 in A, passes over it in B",)
    assert found.says == "Not the same: they part in span 2."


def test_a_crossing_that_only_one_makes_is_told():
    found = same_order(order_from("1 over 2"), order_from(""))
    assert found.differences == ("a1 passes over a2 in A, does not cross it in B",)


def test_turns_are_told_with_their_side():
    found = same_order(order_from("turn 2 right"), order_from("turn 2 left twice"))
    assert found.differences == (
        "a2 is turned right by half a turn in A, is turned left by a full turn in B",
    )


def test_the_same_pairs_and_signs_in_another_order_are_another_braid():
    a, b = order_from("1 over 2\n2 under 3\n1 over 2"), order_from("2 over 3\n1 under 2\n2 over 3")
    found = same_order(a, b)
    assert not found.same
    assert found.differences == (
        "the same units cross, alike and as often, but in another order: they hold each other "
        "otherwise",
    )


def test_crossing_a_span_later_parts_and_comes_together_again():
    a, b = order_from("1 over 2", "", "3 over 4"), order_from("", "1 over 2", "3 over 4")
    found = same_order(a, b)
    assert (found.parts_at, found.together_after) == (1, 2)
    assert "the same braid again" in found.says


def test_other_numbers_of_units_or_spans_are_told():
    assert "6 units, B has 5" in same_order(order_from(""), order_from("", warp="a*5")).says
    found = same_order(order_from("1 over 2"), order_from("1 over 2", "2 over 3"))
    assert "A has 1 span, B has 2 spans; up to span 1 they are alike, more moves in B" in found.says


def test_gaps_and_names_do_not_matter():
    a = order_from("1 over 2", warp="a a a")
    b = order_from("2 over 3", warp="- b a b")
    assert same_order(a, b).same


def test_units_are_matched_by_where_they_start_and_not_by_their_number():
    a = order_from("1 over 2", "2 over 3", warp="a a a")
    b = order_from("1 over 2", "2 under 3", warp="b a b")
    assert same_order(a, b).differences == ("a1 passes over a3 in A, passes under it in B",)


@settings(max_examples=16, deadline=None)
@given(SPANS)
def test_a_draft_is_the_same_as_itself(spans):
    assert same_order(order_from(*spans), order_from(*spans)).same


@settings(max_examples=16, deadline=None)
@given(SPANS, st.integers(0, 3), MOVES)
def test_one_move_more_parts_there_and_both_ways_round(spans, at, move):
    at %= len(spans)
    other = [*spans[:at], f"{spans[at]}\n{move}", *spans[at + 1 :]]
    a, b = order_from(*spans), order_from(*other)
    for one, two in ((a, b), (b, a)):
        found = same_order(one, two)
        assert (found.same, found.parts_at) == (False, at + 1)
        assert found.differences


def written(folder, name, *moves):
    path = folder / name
    spans = "".join(f'[[span]]\nheight = 200\nmoves = "{move}"\n' for move in moves)
    path.write_text(DRAFT.format(warp="a*6", width=10, dents=7) + spans, encoding="utf-8")
    return str(path)


def test_the_command_says_where_to_look_in_each_draft(tmp_path):
    a = written(tmp_path, "a.toml", "1 over 2", "3 over 4")
    b = written(tmp_path, "b.toml", "1 over 2", "3 under 4")
    said = CliRunner().invoke(main, ["same", a, b])
    assert said.exit_code == 4
    assert said.stdout.splitlines() == [
        "Not the same: they part in span 2.",
        "  a3 passes over a4 in A, passes under it in B",
        f"  A: {a}:22",
        f"  B: {b}:22",
    ]
    assert CliRunner().invoke(main, ["same", a, a]).exit_code == 0


def test_a_draft_with_errors_is_not_compared(tmp_path):
    a = written(tmp_path, "a.toml", "1 over 2")
    b = written(tmp_path, "b.toml", "shift 1 right 1")
    said = CliRunner().invoke(main, ["same", a, b])
    assert said.exit_code == 1
    assert "passes-a-unit" in said.stderr

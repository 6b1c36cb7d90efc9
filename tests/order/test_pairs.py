"""Pairs over the piece: crossings, signed sums, wraps, and which two moves undo each other."""

from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.order.braid import same_braid
from crossfell.order.pairs import MadeCrossing, pairs_in, pairs_of, signed_sums
from small_drafts import order_from

LETTERS = st.integers(1, 4).flatmap(lambda i: st.sampled_from([i, -i]))


def pair(order, *names):
    units = tuple(sorted(order.names.index(name) for name in names))
    return next(pair for pair in pairs_of(order) if pair.units == units)


def test_a_wrap_is_two_crossings_one_way_round():
    found = pair(order_from("1 over 2", "1 over 2"), "a1", "a2")
    assert (found.crossings, found.signed, found.wraps, found.linking) == (2, 2, 1, 1.0)
    assert (found.undone, found.candidates) == ((), 0)


def test_over_and_back_under_undoes_itself_and_says_which_moves():
    order = order_from("4 over 5\n1 over 2", "1 under 2")
    found = pair(order, "a1", "a2")
    assert (found.crossings, found.signed, found.wraps) == (2, 0, 0)
    assert found.undone == ((MadeCrossing(1, 1, 1), MadeCrossing(2, 0, 0)),)
    assert found.left == 0


def test_what_comes_out_only_by_other_moves_names_no_two():
    """a1 goes over a2, round a3 and back: a3 round a1 behind a2 is the same, without a1 and a2."""
    order = order_from("1 over 2", "2 over 3\n2 over 3", "1 under 2")
    found = pair(order, "a1", "a2")
    assert (found.crossings, found.signed, found.candidates) == (2, 0, 2)
    assert (found.undone, found.left) == ((), 0)


def test_crossings_that_seem_to_cancel_can_be_held_by_a_third_unit():
    """Wraps of a1 with a2 and of a2 with a3, made and undone in turn: nothing comes out."""
    wrap = {1: "1 over 2\n1 over 2", 2: "2 over 3\n2 over 3"}
    back = {1: "1 under 2\n1 under 2", 2: "2 under 3\n2 under 3"}
    order = order_from(wrap[1], wrap[2], back[1], back[2])
    for names in (("a1", "a2"), ("a2", "a3")):
        found = pair(order, *names)
        assert (found.crossings, found.signed, found.undone) == (4, 0, ())
        assert found.left > 0


@settings(max_examples=30, deadline=None)
@given(st.lists(LETTERS, max_size=16))
def test_crossings_said_to_undo_each_other_can_be_left_out(word):
    moves = [f"{abs(i)} {'over' if i > 0 else 'under'} {abs(i) + 1}" for i in word]
    order = order_from(*(moves or [""]), warp="a*5")
    for found in pairs_of(order):
        assert found.crossings >= abs(found.signed)
        assert 2 * len(found.undone) <= found.candidates
        for first, second in found.undone:
            without = [w for k, w in enumerate(word) if k not in {first.span - 1, second.span - 1}]
            assert same_braid(5, word, without)


@settings(max_examples=30, deadline=None)
@given(st.lists(LETTERS, max_size=20), st.integers(1, 3))
def test_signed_sums_are_kept_by_the_braid_relations(word, i):
    one, other = [*word, i, i + 1, i], [*word, i + 1, i, i + 1]
    ours, theirs = (signed_sums(w, pairs_in(5, w))[0] for w in (one, other))
    assert ours == theirs

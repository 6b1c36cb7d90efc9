"""Framed braids: relations keep them, mirrors undo, an edit recomputes only what follows."""

from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.order.braid import (
    after,
    braid_of,
    braids_of,
    inverse_of,
    same_braid,
    untouched,
)
from crossfell.order.reduce import reduced, undo_each_other
from small_drafts import order_from

N = 6
LETTERS = st.integers(1, N - 1).flatmap(lambda i: st.sampled_from([i, -i]))
WORDS = st.lists(LETTERS, max_size=30)


@settings(max_examples=30, deadline=None)
@given(WORDS, WORDS, st.integers(1, N - 2), st.sampled_from([1, -1]))
def test_three_neighbours_may_cross_in_either_way(before, behind, i, sign):
    a, b = sign * i, sign * (i + 1)
    assert same_braid(N, [*before, a, b, a, *behind], [*before, b, a, b, *behind])


@settings(max_examples=30, deadline=None)
@given(WORDS, WORDS, LETTERS, LETTERS)
def test_crossings_apart_may_change_turns_and_others_may_not(before, behind, a, b):
    one, other = [*before, a, b, *behind], [*before, b, a, *behind]
    assert same_braid(N, one, other) == (abs(abs(a) - abs(b)) != 1)


@settings(max_examples=30, deadline=None)
@given(WORDS)
def test_a_word_and_what_undoes_it_leave_nothing(word):
    assert same_braid(N, word + inverse_of(word), [])
    assert reduced(word + inverse_of(word)) == ()


@settings(max_examples=30, deadline=None)
@given(WORDS, WORDS)
def test_mirrors_keep_sameness_and_a_mirror_of_a_mirror_is_the_piece(one, other):
    def over_for_under(word):
        return [-letter for letter in word]

    def left_for_right(word):
        return [(-1 if letter > 0 else 1) * (N - abs(letter)) for letter in word]

    for mirror in (over_for_under, left_for_right):
        assert mirror(mirror(one)) == one
        assert same_braid(N, one, other) == same_braid(N, mirror(one), mirror(other))
    assert same_braid(N, one, over_for_under(one)) == same_braid(
        N, one + one, one + over_for_under(one)
    )


@settings(max_examples=20, deadline=None)
@given(WORDS, WORDS, WORDS)
def test_a_change_in_the_middle_is_never_hidden_by_what_follows(word, other, behind):
    assert same_braid(N, word + behind, other + behind) == same_braid(N, word, other)
    assert same_braid(N, behind + word, behind + other) == same_braid(N, word, other)


@settings(max_examples=20, deadline=None)
@given(WORDS)
def test_a_reduced_word_is_the_same_braid(word):
    short = reduced(word)
    assert short is not None
    assert same_braid(N, word, short)


def test_pairs_signs_and_order_do_not_tell_every_braid():
    """+1 −2 +1 and +2 −1 +2: the same pairs, signs and end, yet different braids."""
    assert not same_braid(3, [1, -2, 1], [2, -1, 2])


def test_half_turns_belong_to_the_unit_and_not_to_its_place():
    start = untouched(2)
    turned_first = after(after(start, (), (1, 0)), [1])
    turned_later = after(after(start, [1]), (), (1, 0))
    assert turned_first == turned_later
    assert turned_first != after(after(start, [1]), (), (0, 1))


def test_a_roll_is_a_half_twist_and_half_a_turn_of_each():
    rolled = order_from("roll 1-3 right")
    by_hand = order_from("1 over 2-3\n1 over 2\nturn 1-3 right")
    assert braids_of(rolled)[-1] == braids_of(by_hand)[-1]
    other_way = order_from("roll 1-3 left")
    assert braids_of(rolled)[-1] != braids_of(other_way)[-1]


def test_two_rolls_that_undo_each_other_leave_nothing():
    order = order_from("roll 1-4 right", "roll 1-4 left")
    assert braids_of(order)[-1] == untouched(6)


def test_a_block_over_a_block_is_one_braid_however_it_is_written():
    whole = order_from("1-2 over 3-4")
    parts = order_from("2 over 3\n3 over 4\n1 over 2\n2 over 3")
    assert braids_of(whole)[-1] == braids_of(parts)[-1]


def test_an_empty_place_has_no_strand():
    order = order_from("1 over 2", warp="a - a a")
    assert order.spans[0].word == ()
    order = order_from("1-2 over 3", warp="a - a a")
    assert order.spans[0].word == (1,)


def test_two_crossings_undo_each_other_only_when_nothing_is_held_between():
    assert undo_each_other([1, -1], 0, 1, 3)
    assert undo_each_other([1, 3, -1], 0, 2, 5)
    assert undo_each_other([1, 2, -1], 0, 2, 4) is False
    assert undo_each_other([1, 1], 0, 1, 3) is False


def test_the_braid_of_a_word_keeps_who_ends_where():
    assert braid_of(3, [1, 2]).row == (1, 2, 0)

"""Linking numbers of pairs: live against spherogram's links."""

from collections import Counter
from random import Random

import spherogram
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.order.pairs import pairs_in, signed_sums
from small_drafts import order_from


def pure_word(chance, n, length):
    """A word that brings every strand back: pieces of it, and what leads back by single crossings."""
    word = [chance.choice([1, -1]) * chance.randint(1, n - 1) for _ in range(length)]
    row = list(range(n))
    for letter in word:
        at = abs(letter)
        row[at - 1], row[at] = row[at], row[at - 1]
    for _ in range(n):
        for at in range(n - 1):
            if row[at] > row[at + 1]:
                row[at], row[at + 1] = row[at + 1], row[at]
                word.append(chance.choice([1, -1]) * (at + 1))
    return word


@settings(max_examples=15, deadline=None)
@given(st.integers(3, 7), st.integers(4, 30), st.randoms(use_true_random=False))
def test_linking_numbers_are_those_of_the_closed_braid(n, length, chance):
    """Its components are numbered in their own way, so the numbers are compared as a multiset."""
    word = pure_word(chance, n, length)
    ours, _ = signed_sums(word, pairs_in(n, word))
    assert all(total % 2 == 0 for total in ours.values())
    crossed = set(map(abs, word))
    if crossed != set(range(1, n)):
        return  # a strand alone is no component there
    link = spherogram.Link(braid_closure=word)
    matrix = link.linking_matrix()
    theirs = Counter(abs(matrix[i][j]) for i in range(n) for j in range(i) if matrix[i][j])
    assert Counter(abs(total) // 2 for total in ours.values() if total) == theirs
    assert abs(link.writhe()) == abs(sum(ours.values()))
    total = sum(matrix[i][j] for i in range(n) for j in range(i))
    assert abs(total) == abs(sum(ours.values())) // 2


def test_a_case_with_many_strands():
    chance = Random(24)
    word = pure_word(chance, 12, 200)
    ours, _ = signed_sums(word, pairs_in(12, word))
    matrix = spherogram.Link(braid_closure=word).linking_matrix()
    theirs = Counter(abs(matrix[i][j]) for i in range(12) for j in range(i) if matrix[i][j])
    assert Counter(abs(total) // 2 for total in ours.values() if total) == theirs


def test_a_round_links_each_pair_once_and_nobody_else():
    """A hand of two right round three, closed: six pairs with linking number one.

    Half the signed crossings of two components: Rolfsen, Knots and Links (1976), from memory.
    """
    word = list(order_from("1-2 round 3-5", warp="a*5").spans[0].word)
    link = spherogram.Link(braid_closure=word)
    matrix = link.linking_matrix()
    numbers = sorted(abs(matrix[i][j]) for i in range(5) for j in range(i))
    assert numbers == [0] * 4 + [1] * 6
    ours, _ = signed_sums(word, pairs_in(5, word))
    assert {pair: abs(total) // 2 for pair, total in ours.items() if total} == {
        (a, b): 1 for a in (0, 1) for b in (2, 3, 4)
    }

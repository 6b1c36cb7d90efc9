"""Equal or not: against Garside's normal form, live, and recorded verdicts of BraidGroup."""

import json
from pathlib import Path

from garside import normal_form
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.order.braid import braid_of, inverse_of, same_braid
from crossfell.order.reduce import reduced

VERDICTS = Path(__file__).with_name("braid_verdicts.json")


@st.composite
def word_pairs(draw):
    """(n, word, other): the other is rewritten from the first, or changed at one letter."""
    n = draw(st.integers(3, 6))
    letters = st.integers(1, n - 1).flatmap(lambda i: st.sampled_from([i, -i]))
    word = draw(st.lists(letters, max_size=14))
    other = list(word)
    for wish, letter in draw(st.lists(st.tuples(st.integers(0, 20), letters), max_size=6)):
        at = min(wish, len(other))
        other[at:at] = [letter, -letter]
        other = _pushed(other, at)
    if other and draw(st.booleans()):
        at = draw(st.integers(0, len(other) - 1))
        other[at] = -other[at]
    return n, word, other


def _pushed(word, start):
    """Apply the braid relations once where they fit, from `start` on."""
    out = list(word)
    for at in range(max(start - 2, 0), len(out) - 1):
        a, b = out[at : at + 2]
        if abs(abs(a) - abs(b)) > 1:
            out[at : at + 2] = [b, a]
        elif out[at : at + 3] == [a, b, a] and abs(a) != abs(b) and (a > 0) == (b > 0):
            out[at : at + 3] = [b, a, b]
    return out


@settings(max_examples=60, deadline=None)
@given(word_pairs())
def test_coordinates_agree_with_garsides_normal_form(case):
    n, word, other = case
    ours = same_braid(n, word, other)
    assert ours == (normal_form(n, word) == normal_form(n, other))


@settings(max_examples=24, deadline=None)
@given(word_pairs())
def test_a_reduced_word_is_the_same_braid_for_garside(case):
    n, word, other = case
    short = reduced(word + inverse_of(other))
    assert short is not None
    assert (not short) == (normal_form(n, word) == normal_form(n, other))
    assert normal_form(n, short) == normal_form(n, word + inverse_of(other))


def test_agreement_would_be_noticed_if_it_failed():
    assert normal_form(3, [1, 2, 1]) == normal_form(3, [2, 1, 2])
    assert normal_form(3, [1, -2, 1]) != normal_form(3, [2, -1, 2])


def test_coordinates_outgrow_machine_numbers():
    word = [1, -2] * 120
    largest = max(map(abs, braid_of(3, word).coordinates))
    assert largest.bit_length() > 64
    assert not same_braid(3, word, [1, -2] * 119 + [1, 2])
    assert same_braid(3, [*word, *inverse_of(word)], [])


def test_recorded_verdicts_of_braid_group():
    recorded = json.loads(VERDICTS.read_text(encoding="utf-8"))
    assert len(recorded["cases"]) >= 200
    assert {case["same"] for case in recorded["cases"]} == {True, False}
    for case in recorded["cases"]:
        assert same_braid(case["n"], case["one"], case["other"]) is case["same"], case

"""A guess helps, or is not made."""

from __future__ import annotations

import pytest

from crossfell.base.nearest import listed, meant, nearest
from crossfell.draft.moves import KEYWORDS

KEYS = ("count", "fibre", "colour", "price", "put_up", "lot", "diameter", "tenacity", "modulus")


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("color", "colour"), ("colours", "colour"), ("COLOUR", "colour"), ("fiber", "fibre"),
        ("cuont", "count"), ("put-up", "put_up"), ("putup", "put_up"), ("diam", "diameter"),
        ("prize", "price"), ("xyz", None), ("", None), ("twist", None),
    ],
)  # fmt: skip
def test_a_misspelt_key_finds_its_key(wrong, right):
    assert nearest(wrong, KEYS) == right


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("oevr", "over"), ("ovr", "over"), ("undr", "under"), ("rihgt", "right"), ("lft", "left"),
        ("tunr", "turn"), ("plat", "plait"), ("mirored", "mirrored"), ("revered", "reversed"),
        ("backward", "backwards"), ("Over", "over"), ("twise", "twice"), ("through", None),
    ],
)  # fmt: skip
def test_a_misspelt_word_of_a_move_finds_its_word(wrong, right):
    assert nearest(wrong, KEYWORDS) == right


def test_a_name_that_is_there_is_no_guess():
    assert nearest("count", KEYS) is None
    assert nearest("count", ()) is None


def test_what_is_there_is_listed_when_nothing_is_near():
    assert meant("zzz", ("slate", "chalk")) == "there are: slate, chalk"
    assert meant("slat", ("slate", "chalk")) == "did you mean `slate`?"
    assert meant("zzz", ()) == "there are: none"
    assert listed(map(str, range(20))).endswith("11 and 8 more")

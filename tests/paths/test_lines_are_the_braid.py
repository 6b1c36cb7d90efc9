"""The lines in space are the drafted braid: read off by height, they give an equal word."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.order.braid import same_braid
from crossfell.paths.meetings import meetings_of
from crossfell.piece import Piece

TEXT = """
[yarn.s]
count = "tex 207"
fibre = "linen"
[strip.n]
width = 20
dents = 12
[unit.a]
strip = "n"
ends = "12 s"
[warp]
pitch = 24
order = "a*5 - a"
[band]
rod = "steel 3"
[[span]]
height = 700
moves = "{moves}"
"""
MOVE = st.one_of(
    st.tuples(st.integers(1, 4), st.sampled_from(["over", "under"])).map(
        lambda m: f"{m[0]} {m[1]} {m[0] + 1}"
    ),
    st.sampled_from(["1-2 over 3-4", "2-3 under 4-5", "roll 2-4 left", "plait 1-5", "7 over 5-6"]),
)


def word_of(below, meetings):
    """Signed generators read off from the band upwards; meetings at one spot in any fitting order."""
    row = np.argsort(below, kind="stable").tolist()
    waiting = sorted(zip(meetings.at.round(9), meetings.over, meetings.under, strict=True))
    word = []
    while waiting:
        for i, (at, over, under) in enumerate(waiting):
            assert at == waiting[0][0], "no meeting at this height is one of neighbours"
            left, right = sorted((row.index(over), row.index(under)))
            if right == left + 1:
                word.append(right if row[left] == over else -right)
                row[left], row[right] = row[right], row[left]
                waiting.pop(i)
                break
    return word, row


@given(st.lists(MOVE, min_size=1, max_size=9))
@settings(max_examples=25, deadline=None)
def test_lines_in_space_make_the_drafted_braid(moves):
    compared(moves)


@pytest.mark.soak
@given(st.lists(MOVE, min_size=1, max_size=20))
@settings(max_examples=2000, deadline=None)
def test_soak_lines_in_space_make_the_drafted_braid(moves):
    compared(moves)


def compared(moves):
    made = Piece(read_draft(TEXT.format(moves=", ".join(moves))))
    assert made.computable, [note.message for note in made.draft.notes]
    x = made.paths.x_mm
    word, row = word_of(x[0], meetings_of(made.order, x))
    assert row == np.argsort(x[1], kind="stable").tolist()
    assert same_braid(6, word, made.order.spans[0].word)

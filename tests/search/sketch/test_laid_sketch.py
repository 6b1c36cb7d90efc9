"""Do the moves of a sketch lead where they should, and are no more strips lifted than need be?"""

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from test_what_is_asked import asks

from crossfell.draft.reader import read_draft
from crossfell.order.stage import order_of
from crossfell.search.sketch.laying import EMPTY, InFront, heights, moves_between, rows_of
from crossfell.search.sketch.preview import preview
from crossfell.search.sketch.writing import Warping, spans_of, written

TABLES = (
    "".join(f'[yarn.{n}]\ncount = "tex 200"\n' for n in "pqrs")
    + """
[strip.inch]
width = 25
dents = 10
"""
)


def draft_of(ask, front):
    names = tuple("-" if free else name for name, free in zip("pqrs", ask.free, strict=False))
    warping = Warping(title="T", tables=TABLES, names=names, strip="inch", ends=10, pitch_mm=28,
                      woven_from="bottom", rods=("steel 3", "steel 6"))  # fmt: skip
    shown = preview(ask)
    spans = spans_of(shown, ask.counts, ask.free, front)
    return shown, read_draft(written(warping, shown, spans, front, [140] * len(spans)))


@settings(max_examples=60, deadline=None)
@given(asks())
def test_the_draft_shows_the_sketch_at_every_band_and_every_span_can_be_laid(ask):
    for least in (False, True):
        shown, draft = draft_of(ask, InFront(rank=tuple(range(len(ask.counts))), least=least))
        assert draft.notes == ()
        order = order_of(draft)
        assert all(span.layable for span in order.spans)
        kind = {unit.name: unit.kind for unit in draft.units}
        for t, row in enumerate(shown):
            told = [
                None if unit is None else kind[order.names[unit]]
                for unit in order.by_place(t, draft.place_count)
            ]
            assert told == [None if ask.free[c] else "pqrs"[c] for c in row]


def lifts(goal, height):
    """Strips lifted to go from 0..n-1 to `goal` with these heights, as the program counts."""
    n = len(goal)
    kinds = [f'[unit.{"abcdefgh"[k]}]\nstrip = "inch"\nends = "10 p"\n' for k in range(n)]
    moves = moves_between(np.arange(n), np.array(goal), height)
    head = TABLES + "".join(kinds) + f'[warp]\npitch = 28\norder = "{" ".join("abcdefgh"[:n])}"\n'
    text = ", ".join(moves)
    order = order_of(
        read_draft(f'{head}[band]\nrod = "steel 3"\n[[span]]\nheight = 400\nmoves = "{text}"\n')
    )
    return order.spans[0].lifted


@pytest.mark.parametrize("n", [3, 4])
def test_no_order_of_heights_lifts_fewer(n):
    """Every order of heights of every permutation."""
    front = InFront(rank=tuple(range(n)), least=True)
    for goal in permutations(range(n)):
        ours = lifts(goal, heights(list(range(n)), list(goal), list(range(n)), front))
        every = [lifts(goal, dict(enumerate(rank))) for rank in permutations(range(n))]
        assert ours == min(every)


def test_gaps_are_shifted_and_blocks_are_as_large_as_they_can_be():
    now, after = np.array([0, 1, EMPTY, 2, 3, EMPTY]), np.array([EMPTY, 2, 3, 0, EMPTY, 1])
    height = {0: 1, 1: 1, 2: 0, 3: 0}
    moves = moves_between(now, after, height)
    assert "1-2 over 3-4" in moves
    assert moves[0] == "shift 4 left 1 place"
    rows = rows_of(np.array([[0, 1, 0], [1, 0, 0]]), (2, 1), (False, False))
    assert rows.tolist() == [[0, 1, 2], [1, 0, 2]]

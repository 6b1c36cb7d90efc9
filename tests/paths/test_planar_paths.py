"""Where the units run in the plane: straight lines, leans, twisted edges."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece

TEXT = """
measure = "mm"
[piece]
title = "Six"
woven_from = "{woven}"
[yarn.s]
count = "lea 16/2"
fibre = "linen"
[strip.n]
width = 20
dents = 12
[unit.a]
strip = "n"
ends = "12 s"
[warp]
pitch = {pitch}
order = "a*6"
[band]
picks = "3, rod, 3"
rod = "steel 3"
"""
SPAN = '[[span]]\nheight = {height}\nmoves = "{moves}"\n'


def piece(*spans, pitch=24, woven="bottom"):
    """A piece of six units; each span is (height, moves)."""
    text = TEXT.format(pitch=pitch, woven=woven)
    made = Piece(read_draft(text + "".join(SPAN.format(height=h, moves=m) for h, m in spans)))
    assert made.computable, [note.message for note in made.draft.notes]
    return made


MOVES = st.sampled_from(
    [
        "",
        "1 over 2",
        "1-2 under 3-4",
        "1-3 over 4-6",
        "plait 1-6",
        "turn 2-4 right",
        "roll 2-5 left",
    ]
)
SPANS = st.lists(st.tuples(st.integers(60, 300), MOVES), min_size=1, max_size=4)


@given(SPANS, st.sampled_from(["bottom", "top"]))
@settings(max_examples=25, deadline=None)
def test_no_length_beats_the_straight_line(spans, woven):
    paths = piece(*spans, woven=woven).paths
    heights = np.array([h for h, _ in spans], dtype=float)[:, None]
    assert (paths.chord_mm >= heights - 1e-9).all()
    assert (paths.length_mm >= paths.chord_mm - 1e-9).all()
    assert (paths.edge_mm >= paths.chord_mm - 1e-9).all()
    bands = (paths.band_top_mm - paths.band_bottom_mm).sum()
    assert (paths.total_mm >= heights.sum() + bands - 1e-9).all()
    assert (paths.narrow_mm <= paths.width_mm + 1e-9).all()


def test_a_crossing_leans_by_its_sideways_way_over_the_height():
    paths = piece((100, "1 over 2")).paths
    assert paths.lean_rad[0, 0] == pytest.approx(math.atan(24 / 100))
    assert paths.lean_rad[0, 1] == pytest.approx(-math.atan(24 / 100))
    assert paths.chord_mm[0, 0] == pytest.approx(math.hypot(24, 100))
    assert paths.narrow_mm[0, 0] == pytest.approx(20 * 100 / math.hypot(24, 100))


def test_edges_of_a_turned_unit_are_helices():
    paths = piece((150, "turn 3 right"), (150, "turn 3 left twice")).paths
    assert paths.edge_mm[0, 2] == pytest.approx(math.hypot(150, math.pi * 10))
    assert paths.edge_mm[1, 2] == pytest.approx(math.hypot(150, 2 * math.pi * 10))
    assert paths.edge_mm[0, 1] == pytest.approx(150)

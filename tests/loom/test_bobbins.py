"""Bobbins: what is wound is spent in the end, and what does not fit is said."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece

TEXT = """
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
pitch = 24
order = "a*4"
{warp}
[loom]
{loom}
[band]
rod = "steel 3"
[[span]]
height = 300
moves = "1-2 over 3-4"
[[span]]
height = 200
moves = "turn 1 right"
[[span]]
height = 100
"""


def piece(warp="", loom=""):
    made = Piece(read_draft(TEXT.format(warp=warp, loom=loom)))
    assert made.computable, [note.message for note in made.draft.notes]
    return made


@given(st.integers(0, 600), st.integers(0, 2000), st.integers(0, 15))
@settings(max_examples=15, deadline=None)
def test_what_is_left_at_the_end_is_what_was_wound_for_after_it(sample, thrum, spare):
    made = piece(f"sample = {sample}\nthrum = {thrum}\nspare = {spare}")
    left = made.bobbins.left_mm
    for u, wound in enumerate(made.bobbins.windings):
        net = wound.total_mm / (1 + wound.spare)
        after = wound.finish_mm / 2 + wound.thrum_mm + wound.knots_mm / 2
        assert left[-1, u] == pytest.approx(after + net * wound.spare)
    assert (np.diff(left, axis=0) < 0).all()


def test_a_span_takes_its_own_length_from_the_bobbin():
    made = piece()
    drawn = -np.diff(made.bobbins.left_mm, axis=0)
    longer = np.maximum(made.paths.length_mm, made.paths.edge_mm)
    height = (made.paths.band_top_mm - made.paths.band_bottom_mm)[1:, None]
    takeup = made.bobbins.windings[0].takeup_mm / 4
    assert np.allclose(drawn, longer + height + takeup)
    assert np.allclose(made.loom.letoff.drawn_mm[1:], drawn[1:])


def test_what_is_behind_the_heddle_is_not_on_the_bobbin():
    made = piece(loom="back_to_weight = 500\nbobbin = '60 g'\ndrop = 400")
    bobbins, tex = made.bobbins, 12 * made.draft.yarns["s"].count.tex
    behind = sum(
        getattr(made.draft.loom, way)
        for way in ("fell_to_heddle_mm", "heddle_to_back_mm", "back_to_weight_mm")
    )
    assert np.allclose(bobbins.on_bobbin_mm[0], bobbins.left_mm[0] - behind)
    assert np.allclose(bobbins.mass_g, 60 + bobbins.on_bobbin_mm * tex * 1e-6)
    bare = piece(loom="back_to_weight = 9000\nbobbin = '60 g'").bobbins
    assert (bare.on_bobbin_mm == 0).all()
    assert (bare.mass_g == 60).all()


def test_bobbin_and_thrum_have_their_limits():
    assert "bobbin-overfull" in [n.code for n in piece(loom="bobbin_holds_cm3 = 3").bobbins.notes]
    codes = [n.code for n in piece(warp="thrum = 300").bobbins.notes]
    assert codes == ["thrum-too-short"]
    assert not piece().bobbins.notes

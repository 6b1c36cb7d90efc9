"""Paths in space: distances kept, mirrors, lengths, twisted ends, findings."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece

TEXT = """
measure = "mm"
[yarn.s]
count = "tex 207"
fibre = "linen"
{yarn}
[strip.n]
width = 20
dents = 12
[unit.a]
strip = "n"
ends = "12 s"
[warp]
pitch = {pitch}
order = "a*6"
[loom]
{loom}
[band]
rod = "steel 3"
[[span]]
height = {height}
moves = "{moves}"
"""


def piece(moves, height=200, yarn="", loom="", pitch=24):
    text = TEXT.format(moves=moves, height=height, yarn=yarn, loom=loom, pitch=pitch)
    made = Piece(read_draft(text))
    assert made.computable, [note.message for note in made.draft.notes]
    return made


def codes(made):
    return [note.code for note in made.paths.notes]


MOVES = [
    "1 over 2, 4 under 5",
    "1-3 over 4-6",
    "plait 1-6",
    "1 over 2-4, 5 under 6",
    "roll 2-5 right",
    "1 over 2, 2 under 3, 1 over 2",  # interlaced: a ring of three
    "1-2 over 3-4, turn 5 left",
]
MIRRORED = [
    "6 over 5, 3 under 2",
    "4-6 over 1-3",
    "6 over 5, 4 over 3, 2 over 1, 5 under 4, 3 under 2",
    "6 over 3-5, 2 under 1",
    "roll 2-5 left",
    "6 over 5, 5 under 4, 6 over 5",
    "5-6 over 3-4, turn 2 right",
]


def heights_at_meetings(made):
    """Distance in depth of every pair that meets, found again from the lines in space."""
    lines, order = made.paths.lines, made.order
    shares = (np.arange(3989) + 0.37) / 3989  # no meeting falls on one of these
    out = {}
    units = len(made.draft.units)
    points = [lines.point_mm(0, u, shares) for u in range(units)]
    for a in range(units):
        for b in range(a + 1, units):
            gap = points[a][0] - points[b][0]
            for i in np.flatnonzero(np.diff(np.sign(gap))):
                out.setdefault((a, b), []).append(points[a][1][i] - points[b][1][i])
    assert sum(map(len, out.values())) == len(order.spans[0].word)
    return out


@pytest.mark.parametrize("moves", MOVES)
def test_crossing_units_lie_their_thickness_apart_in_the_drafted_order(moves):
    made = piece(moves)
    span = made.order.spans[0]
    over = {(int(a), int(b)) for a, b in zip(span.over, span.under, strict=True)}
    flat = math.pi / 4 * 0.0356825 * math.sqrt(207 / 1.53) * (0.60**-0.5 + 0.65**-0.5) / 2
    for (a, b), depths in heights_at_meetings(made).items():
        for depth in depths:
            sign = 1 if (a, b) in over else -1
            assert sign * depth > 0.97 * flat


@pytest.mark.parametrize(("moves", "mirrored"), list(zip(MOVES, MIRRORED, strict=True)))
def test_the_mirrored_span_has_the_mirrored_heights(moves, mirrored):
    one, other = piece(moves).paths, piece(mirrored).paths
    assert np.allclose(one.length_mm, other.length_mm[:, ::-1], atol=1e-6)
    assert np.allclose(one.steep_mm, other.steep_mm[:, ::-1], rtol=1e-5, atol=1e-5)
    shares = np.linspace(0, 1, 41)
    for u in range(6):
        x, z = one.lines.point_mm(0, u, shares)
        x_, z_ = other.lines.point_mm(0, 5 - u, shares)
        assert np.allclose(x, 6 * 24 - x_)
        assert np.allclose(z, z_, atol=1e-6)


def test_over_for_under_turns_the_heights_round():
    one, other = piece("1-2 over 3-4").paths, piece("1-2 under 3-4").paths
    assert np.allclose(one.lines.z_mm, -other.lines.z_mm)
    assert one.lines.z_mm.any()


def test_units_that_meet_nobody_stay_in_the_plane():
    paths = piece("1 over 2").paths
    assert not any(paths.lines.z_mm[paths.lines.of(0, u)].any() for u in range(2, 6))
    assert paths.length_mm[0, 3] == pytest.approx(200)


@pytest.mark.parametrize("moves", MOVES)
def test_lengths_are_those_of_a_fine_polygon(moves):
    made = piece(moves)
    shares = np.linspace(0, 1, 20001)
    for u in range(6):
        x, z = made.paths.lines.point_mm(0, u, shares)
        steps = np.sqrt(np.diff(x) ** 2 + np.diff(z) ** 2 + (200 / 20000) ** 2)
        assert made.paths.length_mm[0, u] == pytest.approx(steps.sum(), rel=1e-6)
        steep = np.hypot(np.diff(x), np.diff(z)).max() * 20000
        assert made.paths.steep_mm[0, u] == pytest.approx(steep, rel=2e-3, abs=1e-9)


@given(st.sampled_from(MOVES), st.floats(0.2, 1.5))
@settings(max_examples=12, deadline=None)
def test_thicker_yarn_never_makes_a_path_shorter(moves, pressed):
    thin = piece(moves, yarn=f"pressed = {pressed}").paths
    thick = piece(moves, yarn=f"pressed = {1.5 * pressed}").paths
    assert (thick.length_mm >= thin.length_mm - 1e-9).all()
    assert (thin.length_mm >= thin.chord_mm - 1e-9).all()


def test_ends_of_a_turned_unit_are_longer_at_its_edges():
    made = piece("turn 3 right twice, 1 over 2")
    ends = made.paths.ends_mm(2)
    assert ends.shape == (1, 12)
    assert np.allclose(ends, ends[:, ::-1])
    outermost = 20 / 2 * (1 - 1 / 12)
    assert ends[0, 0] == pytest.approx(math.hypot(200, 2 * math.pi * outermost))
    assert ends[0].min() == pytest.approx(math.hypot(200, 2 * math.pi * 20 / 24))
    assert np.allclose(made.paths.ends_mm(0), made.paths.length_mm[0, 0])


def test_a_pile_is_as_thick_as_what_lies_in_it():
    made = piece("roll 2-4 right", yarn="pressed = 2")
    assert made.paths.pile_mm[0] == pytest.approx(6)
    assert made.paths.pile_at[0][0] == 3
    assert piece("1 over 2", yarn="pressed = 2").paths.pile_mm[0] == pytest.approx(4)
    assert piece("", yarn="pressed = 2").paths.pile_mm[0] == pytest.approx(2)


def test_findings_of_thick_and_short_spans():
    assert "pile-too-thick" in codes(piece("1-3 over 4-6", yarn="pressed = 7"))
    assert "pile-too-thick" not in codes(piece("1-3 over 4-6"))
    assert "left-flat" in codes(piece("1 over 2, 2 under 3, " * 9, height=900))


def test_the_least_height_of_a_short_span_just_does():
    moves = "2 over 3, 4 under 5"
    short = piece(moves, height=35, yarn="pressed = 6")
    note = next(n for n in short.paths.notes if n.code == "span-too-short")
    least = int(str(note.facts["height"]).split()[0])
    assert "span-too-short" not in codes(piece(moves, height=least, yarn="pressed = 6"))
    assert "span-too-short" in codes(piece(moves, height=least - 1, yarn="pressed = 6"))


def test_touching_units_are_named_once():
    made = piece("", pitch=20.2)
    assert codes(made) == ["units-touch"]
    assert made.paths.notes[0].facts["bands"] == 2

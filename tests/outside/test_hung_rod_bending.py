"""Rods that bend: table values, a beam library, and the stiff piece as their limit.

Sources: published tables of beams (Timoshenko, Strength of Materials; Bessel and Airy points,
least moment at 0.2071 l in handbooks); PyNiteFEA (MIT), a frame library, with the same loads put
in by its own element. Tolerances: digits of the tables; 1e-6 of the sag against PyNite, whose
shear and axial parts are switched off by large areas; 0.5 % where the piece is compared with a
beam, for its units are where a beam has points.
"""

import numpy as np
import pytest

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.statics.beam import Rodded, bent, best_two_points
from crossfell.statics.bending import bent_piece
from crossfell.statics.cords import LEAST_SAG

NONE = np.zeros(0)
UNIT = Rodded(length_mm=1.0, ei=1.0, diameter_mm=0.0, weight_n=1.0)


def on(a):
    return bent(UNIT, np.array([a, 1 - a]), np.array([0.5]), np.zeros(1))


@pytest.mark.parametrize(
    ("a", "middle", "end"),
    [(0.0, 0.0130208, 0.0), (0.211325, 5.164e-4, -0.83e-4), (0.2203, 3.2586e-4, 1.8281e-4),
     (0.223149, 2.697e-4, 2.697e-4)],
)  # fmt: skip
def test_sags_of_a_beam_on_two_supports(a, middle, end):
    """w L⁴ / EI; down positive. The table counts the ends up at the Airy points."""
    made = on(a)
    at_middle = np.searchsorted(made.x_mm, 0.5)
    assert made.sag_mm[at_middle] == pytest.approx(middle, abs=1e-7 if a else 1e-6)
    assert made.sag_mm[0] == pytest.approx(end, abs=1e-7)


@pytest.mark.parametrize(("a", "moment"), [(0.0, 0.125), (0.207107, 0.021447)])
def test_moments_of_a_beam_on_two_supports(a, moment):
    assert on(a).moment_nmm == pytest.approx(moment, rel=2e-5)


def test_the_best_two_points_of_an_even_load():
    """Least greatest sag at 0.2231 L, least moment at 0.2071 L."""
    left, right, _ = best_two_points(UNIT, NONE, NONE)
    assert (left, 1 - right) == pytest.approx((LEAST_SAG, LEAST_SAG), abs=2e-3)
    left, right, _ = best_two_points(UNIT, NONE, NONE, by="moment")
    assert (left, 1 - right) == pytest.approx((0.207107, 0.207107), abs=2e-3)


@pytest.mark.parametrize(
    ("d", "modulus", "density", "length", "more", "sag"),
    [
        (4, 210e3, 7850, 1000, 0.0, 4.773),
        (4, 210e3, 7850, 1000, 5.0, 29.44),
        (3, 97e3, 8470, 600, 0, 2.569),
    ],
)
def test_rods_on_their_ends_sag_as_in_the_handbook(d, modulus, density, length, more, sag):
    """5 w L⁴ / 384 E I: 4 mm steel of 1 m, with 5 N more, 3 mm brass of 0.6 m."""
    weight = np.pi * d**2 / 4 * length * density * 1e-9 * 9.80665 + more * length / 1000
    rod = Rodded(length_mm=length, ei=modulus * np.pi * d**4 / 64, diameter_mm=d, weight_n=weight)
    made = bent(rod, np.array([0.0, length]), np.array([length / 2]), np.zeros(1))
    assert made.greatest_mm == pytest.approx(sag, rel=5e-4)


def test_a_beam_library_bends_alike():
    """Five uneven loads between three supports, with an overhang."""
    from Pynite import FEModel3D

    supports, at = np.array([120.0, 480.0, 900.0]), np.array([10.0, 200.0, 333.0, 640.0, 990.0])
    loads = np.array([1.0, 2.5, 0.3, 4.0, 1.7])
    rod = Rodded(length_mm=1000.0, ei=210e3 * np.pi * 6**4 / 64, diameter_mm=6.0, weight_n=2.2)
    ours = bent(rod, supports, at, loads)
    model = FEModel3D()
    model.add_material("steel", 210e3, 80e3, 0.3, 7.85e-6)
    second = np.pi * 6**4 / 64
    model.add_section("rod", 28.27, second, second, 2 * second)
    nodes = np.unique(np.concatenate([[0.0, 1000.0], supports, at]))
    for i, x in enumerate(nodes):
        model.add_node(f"N{i}", x, 0, 0)
        held = x in supports
        model.def_support(f"N{i}", i == 0, held, True, i == 0, True, False)
    for i in range(len(nodes) - 1):
        model.add_member(f"M{i}", f"N{i}", f"N{i + 1}", "steel", "rod")
        model.add_member_dist_load(f"M{i}", "FY", -2.2 / 1000, -2.2 / 1000)
    for x, load in zip(at, loads, strict=True):
        model.add_node_load(f"N{np.searchsorted(nodes, x)}", "FY", -load)
    model.analyze_linear()
    for i, x in enumerate(nodes):
        theirs = -model.nodes[f"N{i}"].DY["Combo 1"]
        assert ours.sag_mm[np.searchsorted(ours.x_mm, x - 1e-6)] == pytest.approx(
            theirs, abs=1e-6 * ours.greatest_mm
        )
    reactions = [model.nodes[f"N{np.searchsorted(nodes, x)}"].RxnFY["Combo 1"] for x in supports]
    assert ours.support_n == pytest.approx(reactions, rel=1e-6)


DRAFT = """
measure = "mm"
[yarn.y]
count = "tex 200"
modulus = {modulus}
[strip.s]
width = 46
dents = 12
[unit.u]
strip = "s"
ends = "12 y"
[warp]
pitch = 50
order = "u*{units}"
tension = 1e-9
[band]
picks = "2, rod, 2"
rod = "{rod}"
[hang]
cords = [0, {length}]
cord_stiffness = 1e9
[[span]]
height = 150
[[span]]
height = 150
"""


def piece(rod="steel 6", modulus=5, units=20):
    length = 50 * units - 4 + 30
    return Piece(read_draft(DRAFT.format(rod=rod, modulus=modulus, units=units, length=length)))


def test_soft_yarn_lets_each_rod_bend_by_itself():
    """With yarn of almost no stiffness the lowest rod hangs evenly and the top rod carries all:
    its sag is that of an even load between its ends."""
    made = piece(modulus=1e-5)
    hung = made.hung
    bends = bent_piece(made.draft, made.paths, hung, knots=3)
    assert bends.converged
    rod = Rodded(length_mm=1026.0, ei=210e3 * np.pi * 6**4 / 64, diameter_mm=6, weight_n=0)
    at = made.paths.x_mm[0] + 13
    below = hung.weight_n - hung.rig.weight_n[0]
    alone = bent(
        rod, np.array([0.0, 1026.0]), at, np.full(20, below / 20), even_n=hung.rig.weight_n[0]
    )
    middle = np.ptp(bends.shape_mm[-1])
    assert middle == pytest.approx(alone.greatest_mm, rel=5e-3)


def test_a_stiff_rod_is_the_rigid_piece():
    made = piece(rod="carbon 95", units=6)
    bends = bent_piece(made.draft, made.paths, made.hung)
    assert bends.tension_n == pytest.approx(made.hung.tension_n, rel=1e-3)
    assert bends.cords_n == pytest.approx(made.hung.cords_n, rel=1e-6)


def test_bent_rods_carry_the_whole_weight_and_the_units_below_the_cords_carry_more():
    made = piece(rod="steel 4")
    bends = bent_piece(made.draft, made.paths, made.hung)
    rig = made.hung.rig
    below = np.cumsum(rig.weight_n[::-1])[:-1]
    assert bends.tension_n.sum(1) == pytest.approx(below, rel=1e-6)
    assert bends.cords_n.sum() == pytest.approx(rig.total_n, rel=1e-6)
    upper = bends.tension_n[-1]
    assert upper[0] > 3 * upper[10]
    assert upper == pytest.approx(upper[::-1], rel=1e-4)

"""The shed: geometry, forces that balance, and when the shuttle passes."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.loom.shared import shared_limit_mm
from crossfell.loom.shed import hole_ends_of, lift_share, stretch_mm
from crossfell.piece import Piece

TEXT = """
[yarn.s]
count = "tex 100"
fibre = "linen"
modulus = {modulus}
tenacity = 1
[strip.n]
width = 20
dents = {dents}
first = "{first}"
mass = "10 g"
[unit.a]
strip = "n"
ends = "{dents} s"
[warp]
pitch = 24
order = "a*3"
tension = "0.3 N"
[loom]
fell_to_heddle = 150
heddle_to_back = 600
{loom}
[band]
rod = "steel 3"
[[span]]
height = 120
"""


def piece(loom="", dents=12, first="hole", modulus=10):
    made = Piece(read_draft(TEXT.format(loom=loom, dents=dents, first=first, modulus=modulus)))
    assert made.computable, [note.message for note in made.draft.notes]
    return made


def test_worked_case_of_a_raised_end():
    """a 150, b 600, rise 40: 6.5736 mm more length, 0.32418 of its tension down."""
    assert stretch_mm(40, 150, 600) == pytest.approx(6.5736, abs=5e-5)
    assert lift_share(40, 150, 600) == pytest.approx(0.32418, abs=5e-6)
    shed = piece("rise = 40\nsink = 30\nshuttle_at = 75").loom.shed
    assert (shed.open_up_mm, shed.open_down_mm) == pytest.approx((20, 15))
    at_the_heddle = piece("rise = 40\nsink = 30\nshuttle_at = 150").loom.shed
    beyond = piece("rise = 40\nsink = 30\nshuttle_at = 180").loom.shed
    for shed in (at_the_heddle, beyond):
        assert (shed.open_up_mm, shed.open_down_mm) == pytest.approx((40, 30))


@given(st.floats(1, 60), st.floats(80, 300), st.floats(300, 900))
@settings(max_examples=40)
def test_the_force_is_what_the_stretch_costs(rise, before, behind):
    """Virtual work: the force share is the change of length with the rise."""
    step = 1e-4
    change = stretch_mm(rise + step, before, behind) - stretch_mm(rise - step, before, behind)
    assert lift_share(rise, before, behind) == pytest.approx(change / (2 * step), rel=1e-6)


def test_forces_on_the_batten_balance_in_every_position():
    loom = piece("rise = 35\nsink = 25\nspring = 0.8\nbatten = '1200 g'").loom
    shed = loom.shed
    assert shed.batten_n == pytest.approx((1200 + 30) * 9.80665e-3)
    assert shed.springs_up_n == pytest.approx(shed.batten_n + shed.warp_up_n)
    assert shed.springs_level_n == pytest.approx(shed.batten_n + shed.chains_n)
    assert shed.springs_down_n + shed.warp_down_n == pytest.approx(shed.batten_n + shed.hand_n)
    assert shed.springs_level_n - shed.springs_up_n == pytest.approx(0.8 * 35)
    assert shed.springs_down_n - shed.springs_level_n == pytest.approx(0.8 * 25)


@pytest.mark.parametrize(
    ("dents", "first", "holes"), [(12, "hole", 6), (13, "hole", 7), (13, "slot", 6)]
)
def test_holes_alternate_with_slots_from_the_first_dent(dents, first, holes):
    assert hole_ends_of(piece(dents=dents, first=first).draft).tolist() == [holes] * 3


def test_a_shuttle_that_does_not_pass_is_doubtful():
    made = piece("shuttle = 15")
    note = next(n for n in made.loom.notes if n.code == "shuttle-does-not-pass")
    rise = float(str(note.facts["need"]).split()[0])
    assert rise == pytest.approx(15 * 150 / 60, abs=0.5)
    wide = piece(f"shuttle = 15\nrise = {rise + 1}\nsink = {rise + 1}")
    assert "shuttle-does-not-pass" not in [n.code for n in wide.loom.notes]


@pytest.mark.parametrize(
    ("tension", "stiffness", "limit"),
    [(0.1, 500, 13.9), (0.3, 1000, 17.0), (0.5, 1800, 16.3), (1.0, 500, 43.8)],
)
def test_shared_weight_limit_of_a_table(tension, stiffness, limit):
    """L0 2 m, a 150, b 600; derived: s* = √(4 T0 L0/(k (1/a + 1/b))), first order in the rise."""
    first_order = math.sqrt(4 * tension * 2000 / (stiffness * (1 / 150 + 1 / 600)))
    assert first_order == pytest.approx(limit, abs=0.06)
    exact = shared_limit_mm(tension, stiffness, 2000, 150, 600)
    assert exact == pytest.approx(first_order, rel=0.02)
    assert stretch_mm(exact, 150, 600) == pytest.approx(2 * tension * 2000 / stiffness)


def shared(loom="rise = 10\nsink = 10", **more):
    (found,) = piece(loom, **more).loom.shared.values()
    return found


def test_hole_and_slot_ends_together_carry_the_weight():
    taut, slack = shared(), shared("rise = 45\nsink = 45")
    assert not taut.slack
    assert slack.slack
    assert slack.hole_end_n == pytest.approx(0.6, rel=1e-6)
    assert 0.3 < taut.hole_end_n < 0.6
    assert taut.weight_rises_mm == pytest.approx(stretch_mm(10, 150, 600) / 2)
    free, k = 150 + 600 + 1200, 1000
    assert slack.weight_rises_mm == pytest.approx(stretch_mm(45, 150, 600) - 0.3 * free / k)


def test_slack_slot_ends_double_the_lift():
    """Beyond the limit the lift is W s (1/a + 1/b), twice what ends of even tension give."""
    even, most = (getattr(piece("rise = 45").loom, name) for name in ("shed", "shed_most"))
    assert most.warp_up_n == pytest.approx(2 * even.warp_up_n)
    weight = 12 * 0.3 * 3
    assert most.warp_up_n == pytest.approx(weight * lift_share(45, 150, 600))
    low = piece("rise = 5\nsink = 5").loom
    assert low.shed.warp_up_n < low.shed_most.warp_up_n < 2 * low.shed.warp_up_n


def test_the_weight_rises_without_a_jump_where_slot_ends_go_slack():
    limit = shared().limit_mm
    below, above = (shared(f"rise = {limit + e}\nsink = {limit + e}") for e in (-1e-3, 1e-3))
    assert below.weight_rises_mm == pytest.approx(above.weight_rises_mm, rel=1e-3)
    assert below.hole_end_n == pytest.approx(above.hole_end_n, rel=1e-3)


def test_each_remedy_just_does():
    worst = shared("rise = 30\nsink = 30")
    longer = shared(f"rise = 30\nsink = 30\nback_to_weight = {worst.free_mm - 750}")
    assert longer.limit_mm == pytest.approx(30, rel=1e-6)
    text = TEXT.replace('"0.3 N"', f'"{worst.tension_n:.9f} N"')
    made = Piece(
        read_draft(text.format(loom="rise = 30\nsink = 30", dents=12, first="hole", modulus=10))
    )
    (tighter,) = made.loom.shared.values()
    assert tighter.limit_mm == pytest.approx(30, rel=1e-6)
    a, b = 150 * worst.farther, 600 * worst.farther
    assert worst.farther > 1.5
    limit = shared_limit_mm(0.3, 1000, 150 + 600 + 1200, a, b)  # as much warp behind as before
    assert limit == pytest.approx(30, rel=0.02)  # the length that a rise takes, to first order


def test_slack_slot_ends_are_told_with_their_assumption():
    note = next(n for n in piece("rise = 45").loom.notes if n.code == "slot-ends-slacken")
    assert "cannot slip past each other" in note.message
    assert "not measured" in note.message


@pytest.mark.parametrize(
    ("loom", "says"), [("rise = 20\nsink = 44", "44 mm (`sink`"), ("rise = 45", "45 mm (`rise`")]
)
def test_the_way_that_the_holes_move_farther_is_named_and_pointed_at(loom, says):
    made = piece(loom)
    note = next(n for n in made.loom.notes if n.code == "slot-ends-slacken")
    assert f"the holes move {says} in [loom])" in note.message
    line = made.draft.text_of(note.where.file).splitlines()[note.where.line - 1]
    assert line == loom.splitlines()[-1]


def test_weight_falls_as_yarn_leaves_the_bobbin():
    made = piece("back_to_weight = 100\nweights = ['250 g * 2', '300 g * 4']")
    loom = made.loom
    assert (np.diff(loom.hangs_g, axis=0) <= 1e-9).all()
    assert (loom.hangs_g[0] > loom.hangs_g[-1]).all()
    assert set(loom.handed.mass_g.tolist()) <= {250.0, 300.0}
    assert np.allclose(loom.hangs_g, loom.handed.mass_g + made.bobbins.mass_g)

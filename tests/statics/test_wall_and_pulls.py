"""The wall: loads add up to the weight, the lever rule, inclined legs; pulls on the weft."""

import math

import numpy as np
import pytest

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.statics.reading import pulls_of
from crossfell.statics.wall import wall_loads

DRAFT = """
measure = "mm"
[piece]
woven_from = "{woven}"
[yarn.y]
count = "tex 200"
fibre = "linen"
[strip.s]
width = 24
dents = 12
[unit.u]
strip = "s"
ends = "12 y"
[warp]
pitch = 26
order = "{order}"
[band]
picks = "2, rod, 2"
rod = "steel 4"
[hang]
{hang}
[[span]]
height = 150
moves = "{moves}"
[[span]]
height = 150
"""


def piece(hang="cords = [20, 110]", moves="1 over 2", order="u*4", woven="bottom"):
    draft = read_draft(DRAFT.format(hang=hang, moves=moves, order=order, woven=woven))
    assert not [n for n in draft.notes if n.severity.value == "error"]
    return Piece(draft)


@pytest.mark.parametrize("woven", ["bottom", "top"])
@pytest.mark.parametrize(
    "hang",
    [
        "cords = [20, 110]",
        "cords = [20, 60, 110]",
        "cords = [20, 100]\npoints = [60]",
        "rail = true",
    ],
)
def test_the_points_carry_the_weight(hang, woven):
    made = piece(hang, woven=woven)
    wall = wall_loads(made.draft, made.paths, made.hung)
    assert sum(p.down_n for p in wall.points) == pytest.approx(wall.weight_n, rel=1e-8)
    assert sum(p.aside_n for p in wall.points) == pytest.approx(0, abs=1e-8 * wall.weight_n)
    assert made.masses.total_g == pytest.approx(wall.weight_n / 9.80665e-3)


def test_two_vertical_cords_carry_by_the_lever_rule():
    """R_A = W (x_B − x_cg) / (x_B − x_A): units at the left only, so the left cord carries more."""
    made = piece(order="u*2 - -", moves="")
    wall = wall_loads(made.draft, made.paths, made.hung)
    a, b = (p.at_mm - 15 + 1 for p in wall.points)  # the rod begins 15 mm left of a unit
    assert wall.centre_x_mm < 52
    assert wall.points[0].down_n == pytest.approx(
        wall.weight_n * (b - wall.centre_x_mm) / (b - a), rel=1e-3
    )


def test_cords_to_one_point_pull_harder_than_the_weight_by_their_angle():
    """T / (W/2) = 1 / sin(angle from the horizontal); published, inclined legs."""
    made = piece("cords = [20, 112]\npoints = [66]\ncord_length = 65.0538238692")
    wall = wall_loads(made.draft, made.paths, made.hung)
    assert len(wall.points) == 1
    assert wall.points[0].cords == 2
    assert wall.points[0].factor == pytest.approx(1.414, abs=2e-3)  # 45 degrees
    assert math.degrees(math.asin(1 / wall.points[0].factor)) == pytest.approx(45, abs=0.1)


def test_a_tug_doubles_the_load_and_the_piece_swings_out_with_its_length():
    made = piece()
    wall = wall_loads(made.draft, made.paths, made.hung)
    for point in wall.points:
        assert point.tugged_n == pytest.approx(2 * point.load_n)
    deep = 400 + made.paths.height_total_mm
    assert 60 < wall.swing_mm - deep * math.sin(math.radians(5)) + 60 < 120.5


def test_the_weft_is_pushed_together_between_units_that_cross():
    """Two units cross below: at both bands they pull towards each other, N sin a each."""
    crossed = piece(moves="1 over 2", order="u u")
    pulls = pulls_of(crossed.draft, crossed.hung)
    below = crossed.hung.rig.weight_n[-1]
    lean = math.atan2(26, 150)
    assert pulls.weft_n[1] == pytest.approx(-below / 2 * math.tan(lean), rel=2e-3)
    assert pulls.weft_n[0] == pytest.approx(-below / 2 * math.tan(lean), rel=2e-3)
    assert pulls.aside_n[:2] == pytest.approx(np.full(2, below / 2 * math.tan(lean)), rel=2e-3)
    assert abs(pulls.weft_n[2]) < 1e-9

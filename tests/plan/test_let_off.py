"""Let-off in the plan: where the loom says, behind it, with no walk that could be spared."""

from pathlib import Path

import pytest

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def piece():
    return Piece(read_file(EXAMPLES / "02-tideline" / "tideline.toml"))


def test_every_trip_is_a_step_behind_the_loom(piece):
    steps = [step for step in piece.plan.steps if step.kind == "let-off"]
    assert [step.span for step in steps] == [trip.span for trip in piece.loom.letoff.trips]
    assert [step.count for step in steps] == [len(t.units) for t in piece.loom.letoff.trips]
    assert all(step.side == "back" and step.caution == "weights" for step in steps)


def test_a_trip_where_weights_come_off_costs_no_walk(piece):
    without = Piece(read_draft(piece.draft.text, workshop="[loom]\ndrop = '9 m'"))
    assert not without.loom.letoff.trips
    assert piece.loom.letoff.trips
    assert piece.plan.walks == without.plan.walks == piece.plan.walks_needed


def test_a_trip_for_nothing_else_is_two_walks():
    text = """
[yarn.s]
count = "lea 16/2"
[strip.n]
width = 20
dents = 12
[unit.a]
strip = "n"
ends = "12 s"
[warp]
pitch = 24
order = "a*3"
[loom]
drop = 450
[band]
rod = "steel 3"
[[span]]
height = 300
[[span]]
height = 300
"""
    plan = Piece(read_draft(text)).plan
    (step,) = (step for step in plan.steps if step.kind == "let-off")
    assert step.span == 1  # in span 2 the weight would be at its top already
    assert plan.walks == plan.walks_needed == 3

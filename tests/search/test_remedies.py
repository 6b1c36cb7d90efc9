"""Remedies: what is proposed helps, keeps remarks, and says when only crossings can help."""

import pytest

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.search.fittings import fittings
from crossfell.search.mending import told
from crossfell.search.remedies import Mended, mended, remedies_of
from crossfell.search.standing import standing_of

DRAFT = """
measure = "mm"
[yarn.slate]
count = "lea 16/2"
fibre = "linen"
[strip.inch]
width = "1 in"
dents = 18
[unit.a]
strip = "inch"
ends = "18 slate"
[warp]
pitch = 28
order = "{order}"      # from the left
[band]
picks = "3, rod, 3"
rod = "steel 3"
[[span]]
height = 150
moves = "{moves}"   # a remark
"""


NOTHING = Mended(remedies=(), tried={}, left={})


def piece(moves, order="a*5 -"):
    draft = read_draft(DRAFT.format(moves=moves, order=order))
    assert not [n for n in draft.notes if n.severity.value == "error"]
    return Piece(draft)


@pytest.fixture(scope="module")
def leaning():
    made = piece("shift 1-5 right 1")
    return made, mended(made)


def test_a_span_that_leans_as_one_is_held_by_units_that_lean_back(leaning):
    made, found = leaning[0], leaning[1].remedies
    assert not made.holds[0].holds
    assert any(remedy.kind == "lean back" for remedy in found)
    best = Piece(read_draft(found[0].text))
    assert all(hold.holds for hold in best.holds)
    assert abs(best.hung.drift_mm).max() < 0.5 * abs(made.hung.drift_mm).max()


def test_each_remedy_stands_as_it_says_and_keeps_the_remarks(leaning):
    found = leaning[1].remedies
    assert found
    for remedy in found:
        assert "# a remark" in remedy.text
        assert "# from the left" in remedy.text
        assert standing_of(Piece(read_draft(remedy.text))) == remedy.after
        assert remedy.after.better_than(remedy.before)


def test_it_says_that_only_crossings_help_what_swings(leaning):
    made, found = leaning
    lines = "\n".join(told(made, found))
    assert "nothing but its crossings" in lines
    assert f"Tried: lean back {found.tried['lean back']}" in lines
    assert not [
        r for r in found.remedies if r.kind in {"tension", "rod", "height", "hanging points"}
    ]
    assert "nothing but its crossings" not in "\n".join(told(piece("1 over 2"), NOTHING))


def test_weight_tension_and_height_never_hold_a_span_that_swings():
    """The claim itself: the quick test does not change with any of them."""
    for change in (
        ("= 150", "= 300"),
        ("steel 3", "steel 10"),
        ("pitch = 28", "pitch = 28\ntension = 0.05"),
    ):
        text = DRAFT.format(moves="shift 1-5 right 1", order="a*5 -").replace(*change)
        assert not Piece(read_draft(text)).holds[0].holds


def test_a_heavier_lowest_rod_or_less_tension_is_proposed_where_units_bow():
    text = DRAFT.format(moves="1-3 over 4-6", order="a*8").replace(
        "pitch = 28", "pitch = 28\ntension = 3"
    )
    made = Piece(read_draft(text))
    found = remedies_of(made)
    assert standing_of(made).bowed > 0
    assert {"rod", "tension"} & {remedy.kind for remedy in found}
    assert all(remedy.after.bowed <= remedy.before.bowed for remedy in found)


def test_better_is_never_both_ways():
    one, two = standing_of(piece("1 over 2")), standing_of(piece("shift 1-5 right 1"))
    assert one.better_than(two)
    assert not two.better_than(one)
    assert not one.better_than(one)


@pytest.mark.parametrize("woven", ["bottom", "top"])
@pytest.mark.parametrize(
    ("order", "move"), [("a*7 -", "shift 1-7 right 1"), ("- a*7", "shift 2-8 left 1")]
)
def test_units_lean_back_to_the_right_side_whichever_way_it_hangs(woven, order, move):
    """Held with side force to spare, not barely."""
    text = f'[piece]\nwoven_from = "{woven}"\n' + DRAFT.format(moves=move, order=order).replace(
        'measure = "mm"', ""
    )
    made = Piece(read_draft('measure = "mm"\n' + text))
    assert not made.holds[0].holds
    best = Piece(read_draft(remedies_of(made)[0].text))
    assert best.holds[0].state == "holds"


SLACK = DRAFT.format(moves="1-3 over 4-6", order="a*8").replace("= 28", "= 28\ntension = 3")


def test_rods_in_stock_heights_of_one_span_and_rods_of_each_band_are_tried():
    text = (
        SLACK
        + """
[[span]]
height = 150
moves = "1 over 2"
[stock]
rods = ["steel 6: 2000 * 4", "brass 8: 2000 * 2"]
"""
    )
    made = mended(Piece(read_draft(text)))
    assert {"tension", "rod", "height", "height of one span"} <= set(made.tried)
    assert not made.left
    says = [one.says for one in fittings(Piece(read_draft(text)))]
    assert "lowest rod steel 6 instead of steel 3" in says
    assert any("of band 2 brass 8" in say for say in says)
    assert any(say.startswith("weave span 1 10% higher") for say in says)
    for kind, _, make, _ in fittings(Piece(read_draft(text))):
        new = read_draft(make())
        assert not [n for n in new.notes if n.severity.value == "error"], kind


def test_a_top_rod_that_bends_gets_better_cords_three_or_a_rail():
    text = DRAFT.format(moves="1 over 2", order="a*6").replace("pitch = 28", "pitch = 110")
    text += "[hang]\ncords = [10, 680]\n"
    made = Piece(read_draft(text))
    found = mended(made)
    assert standing_of(made).top_sag_mm > 1
    points = [r for r in found.remedies if r.kind == "hanging points"]
    assert points
    assert all(r.after.top_sag_mm < r.before.top_sag_mm for r in points)
    assert "the top rod bends by" in "\n".join(told(made, found))


def test_when_the_time_is_over_it_says_what_was_not_tried():
    made = Piece(read_draft(SLACK))
    found = mended(made, seconds=0)
    assert not found.remedies
    assert not found.tried
    assert "Not tried, for want of time: tension 2" in "\n".join(told(made, found))

"""A whole span is worked stretch by stretch, and what comes out is what was drafted."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from strand_row import StrandRow

from crossfell.draft.reader import read_draft
from crossfell.order.braid import braid_of
from crossfell.order.stage import order_of
from crossfell.plan.handled import Hands, worked
from crossfell.plan.handling import row_of
from crossfell.plan.motions import Prices, What

USUAL = Hands(hand=4, most_loose=4, limit_is_hers=False, lay_aside=True, prices=Prices())
IN_PLACE = replace(USUAL, lay_aside=False)


def order_for(row, moves):
    draft = read_draft(
        f'''
[yarn.y]
count = "lea 16/2"
[strip.s]
width = 20
dents = 10
[unit.a]
strip = "s"
ends = "10 y"
[warp]
pitch = 30
order = "{row}"
[band]
picks = "3, rod, 3"
rod = "steel 3"
[[span]]
height = 400
moves = """
{moves}
"""
'''
    )
    return order_of(draft)


def check(order, can=USUAL):
    """Replay every stretch; give the motions."""
    row = row_of(order, 0)
    found = worked(row, can)
    strands = StrandRow({u: float(place) for u, place in row.before.items()})
    for stretch in found:
        for motion in stretch.motions:
            strands.do(motion)
        for u, turns in stretch.turned.items():
            strands.half_turns[u] = strands.half_turns.get(u, 0) + turns
    n, span = len(order.names), order.spans[0]
    assert strands.place == row.after
    assert braid_of(n, strands.word).coordinates == braid_of(n, span.word).coordinates
    turns = [strands.half_turns.get(u, 0) for u in range(n)]
    assert turns == span.half_turns.tolist()
    assert strands.loosest <= max((stretch.loose for stretch in found), default=0)
    return [motion for stretch in found for motion in stretch.motions]


def test_a_roll_is_one_motion():
    """Five neighbours turned over as one are taken once."""
    motions = check(order_for("a*8", "roll 2-6 right"))
    assert [(m.what, m.units) for m in motions] == [(What.ROLL, (1, 2, 3, 4, 5))]


def test_a_unit_that_goes_round_is_carried_with_its_own_weight_only():
    """Over three neighbours and back under them: one hand, and nobody else moves."""
    (motion,) = check(order_for("a*5", "1 over 2-4, 4 under 1-3"))
    assert motion.units == (0,)
    assert not motion.along
    assert [(leg.over, leg.passed) for leg in motion.legs] == [
        (True, (1, 2, 3)),
        (False, (3, 2, 1)),
    ]


def test_independent_stretches_are_worked_from_the_left():
    """Crossings that have nothing to do with each other follow each other."""
    motions = check(order_for("a*8", "7 over 8, 1 under 2"))
    assert [m.units for m in motions if m.what is What.TAKE_AND_LAY] in ([(0,), (6,)], [(1,), (6,)])


MOVES = st.one_of(
    st.tuples(
        st.integers(1, 8), st.integers(0, 2), st.integers(0, 2), st.sampled_from(["over", "under"])
    ).map(lambda m: f"{m[0]}-{m[0] + m[1]} {m[3]} {m[0] + m[1] + 1}-{m[0] + m[1] + 1 + m[2]}"),
    st.tuples(st.integers(1, 9), st.integers(1, 3), st.sampled_from(["left", "right"])).map(
        lambda m: f"roll {m[0]}-{m[0] + m[1]} {m[2]}"
    ),
    st.tuples(st.integers(1, 12), st.sampled_from(["left", "right"])).map(
        lambda m: f"turn {m[0]} {m[1]}"
    ),
)
SPANS = st.lists(MOVES, max_size=6).map("\n".join)


@settings(deadline=None)
@given(SPANS, st.sampled_from(["a*13", "a*4 - a*5 - - a*2"]), st.sampled_from([USUAL, IN_PLACE]))
def test_what_is_worked_is_what_was_drafted(moves, row, can):
    """Rolls, rounds, interlaced spans and gaps, laid aside or carried through the row."""
    check(order_for(row, moves), can)

"""Over lies over under in the order of drawing, or is mended."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.drawings.stacking import levels_of, stack_of
from crossfell.drawings.twists import _where
from crossfell.piece import Piece

HEAD = """
[yarn.a]
count = "tex 200"
[strip.s]
width = 20
dents = 10
[unit.u]
strip = "s"
ends = "10 a"
[warp]
pitch = 25
order = "u*6"
[band]
picks = "2, rod, 2"
rod = "steel 3"
[[span]]
height = 200
moves = '''
"""

CROSSES = st.lists(
    st.tuples(st.integers(1, 5), st.sampled_from(["over", "under"])), min_size=1, max_size=10
)


@settings(max_examples=40, deadline=None)
@given(crosses=CROSSES, back=st.booleans())
def test_every_crossing_is_drawn_over_or_mended(crosses, back):
    moves = "\n".join(f"{i} {word} {i + 1}" for i, word in crosses)
    span = Piece(read_draft(HEAD + moves + "\n'''\n")).order.spans[0]
    stack = stack_of(span, 6, back=back)
    assert sorted(stack.units) == list(range(6))
    at = {unit: i for i, unit in enumerate(stack.units)}
    left = {i for part in span.passes for i in part}  # those that another does not undo
    pairs = list(zip(span.over.tolist(), span.under.tolist(), strict=True))
    stand = [pairs[i] for i in sorted(left)]
    for over, under in stand:
        if span.layable and stand.count((over, under)) % 2 == 0:
            continue  # there and back: in the end they do not change sides
        top, low = (under, over) if back else (over, under)
        assert at[top] > at[low] or (top, low) in stack.mend
    if span.layable:
        assert stack.mend == ()


@given(st.floats(0, 1))
def test_the_twist_is_the_inverse_of_its_ease(share):
    u = _where(share)
    assert abs(3 * u * u - 2 * u**3 - share) < 1e-9


@pytest.mark.parametrize(
    ("moves", "over", "under"),
    [
        ("1 over 2\n1 under 2", set(), set()),  # done and undone
        ("1 over 2\n1 under 2\n3 over 4", {2}, {3}),
        ("1 over 2\n2 under 3\n2 over 3", {0}, {1}),
        ("1 over 2\n2 over 3\n1 over 2\n2 under 3", {0, 1}, {2}),  # there and back round a third
        ("1 over 2\n1 over 2", {0, 1}, {0, 1}),  # a wrap stays: each is over once
    ],
)
@pytest.mark.parametrize("back", [False, True])
def test_a_crossing_that_is_undone_leaves_no_light_or_shade(moves, over, under, back):
    span = Piece(read_draft(HEAD + moves + "\n'''\n")).order.spans[0]
    seen = [{u for u, yes in enumerate(side) if yes} for side in levels_of(span, 6, back=back)]
    assert seen == ([under, over] if back else [over, under])

"""Merging keeps both changes, or says that it cannot."""

from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.studio.merge import merged

LINES = st.lists(st.sampled_from(["a\n", "b\n", "c\n", "d\n", "\n"]), max_size=9).map("".join)


@settings(max_examples=60, deadline=None)
@given(LINES, LINES)
def test_a_change_on_one_side_only_is_taken(base, mine):
    assert merged(base, mine, base).text == mine
    assert merged(base, base, mine).text == mine
    assert merged(base, mine, mine).text == mine


@settings(max_examples=60, deadline=None)
@given(LINES, LINES, LINES)
def test_both_sides_agree_on_whether_they_agree(base, mine, theirs):
    one, two = merged(base, mine, theirs), merged(base, theirs, mine)
    assert one.agreed == two.agreed
    if one.agreed:
        assert one.text == two.text


@settings(max_examples=60, deadline=None)
@given(LINES, LINES, LINES)
def test_changes_far_apart_are_both_there(above, below, middle):
    wall = "1\n2\n3\n4\n5\n"
    base = f"x\n{wall}y\n"
    both = merged(base, f"{above}x\n{wall}y\n", f"x\n{wall}y\n{below}")
    assert both.agreed
    assert both.text == f"{above}x\n{wall}y\n{below}"
    assert not merged(f"q\n{wall}", f"m{middle}\n{wall}", f"t{middle}\n{wall}").agreed

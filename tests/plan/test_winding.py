"""Winding: fewest groups within the waste allowed, fewest ends changed on the creel."""

import itertools

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.plan.winding import alike, changed, ordered, winding_plan

LENGTHS = st.lists(st.integers(1000, 2000), min_size=1, max_size=7)


def runs(items):
    """Every way to part a row into runs."""
    for cuts in itertools.product([False, True], repeat=len(items) - 1):
        ends = [i + 1 for i, cut in enumerate(cuts) if cut]
        yield [items[i:j] for i, j in itertools.pairwise([0, *ends, len(items)])]


@given(LENGTHS, st.sampled_from([0.0, 0.02, 0.05, 0.2]))
@example([1000, 1041, 1041, 1073], 0.02)  # taking as many as fit, longest first, needs three
@example([1035, 1055, 1035, 1035, 1070], 0.02)  # two groups either way; one way wastes less
@settings(max_examples=60, deadline=None)
def test_no_grouping_of_neighbours_within_the_waste_has_fewer_groups_or_less_waste(lengths, share):
    named = dict(enumerate(map(float, lengths)))

    def waste(group):
        return max(named[u] for u in group) * len(group) - sum(named[u] for u in group)

    def fits(group):
        return waste(group) <= share * sum(named[u] for u in group) + 1e-9

    found = alike(named, share)
    assert sorted(u for group in found for u in group) == sorted(named)
    assert all(map(fits, found))
    row = sorted(named, key=lambda u: (-named[u], u))
    ways = [way for way in runs(row) if all(map(fits, way))]
    fewest, least = min((len(way), sum(map(waste, way))) for way in ways)
    assert len(found) == fewest
    assert sum(map(waste, found)) == pytest.approx(least, abs=1e-6)


CREEL = st.lists(st.sampled_from("abc"), min_size=1, max_size=4).map(tuple)


@given(st.lists(CREEL, min_size=1, max_size=5))
@settings(max_examples=40, deadline=None)
def test_no_order_of_kinds_changes_fewer_ends(creels):
    creel = {f"k{i}": row for i, row in enumerate(creels)}

    def changes(way):
        return sum(changed(creel[a], creel[b]) for a, b in itertools.pairwise(way))

    order, proved = ordered(sorted(creel), creel)
    assert proved
    assert sorted(order) == sorted(creel)
    assert changes(order) == min(map(changes, itertools.permutations(creel)))


def test_more_kinds_than_can_be_tried_are_all_wound():
    creel = {f"k{i:02}": tuple("abcdefghijklm"[i : i + 3]) for i in range(12)}
    order, proved = ordered(sorted(creel), creel)
    assert not proved
    assert sorted(order) == sorted(creel)


TEXT = """
[yarn.s]
count = "lea 16/2"
fibre = "linen"
[yarn.c]
count = "lea 16/2"
fibre = "linen"
[strip.n]
width = 20
dents = 12
[unit.a]
strip = "n"
ends = "12 s"
[unit.b]
strip = "n"
ends = "12 c"
[unit.m]
strip = "n"
ends = "6 s, 6 c"
[warp]
pitch = 24
order = "a*2 b*2 m*2"
[loom]
alike = {alike}
[band]
rod = "steel 3"
[[span]]
height = 100
moves = "1-2 over 3-4"
[[span]]
height = 120
moves = "turn 5 right"
"""


@pytest.mark.parametrize("share", [0, 5])
def test_every_bobbin_gets_at_least_what_its_unit_needs(share):
    made = Piece(read_draft(TEXT.format(alike=share)))
    plan = winding_plan(made.draft, made.bobbins)
    seen = [u for group in plan.groups for u in group.units]
    assert sorted(seen) == list(range(6))
    for group in plan.groups:
        assert group.waste <= share / 100 + 1e-12
        for u in group.units:
            assert group.length_mm >= made.bobbins.windings[u].total_mm - 1e-9
    kinds = list(dict.fromkeys(group.kind for group in plan.groups))
    assert kinds[1] == "m"  # between the two, half of its ends stay on the creel
    assert plan.changes == 12
    assert len(plan.groups) == (3 if share else 4)

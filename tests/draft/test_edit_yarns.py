"""Some units get another yarn; all others, remarks and layout stay as they were."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.edit import NotEditable
from crossfell.draft.edit_yarns import named, yarn_like, yarn_of_units
from crossfell.draft.reader import read_draft

DRAFT = """measure = "mm"
[yarn.slate]
count = "lea 16/2"   # from the mill
colour = "#3f4f5c"
lot = "77"
in_stock = "2 kg"
[yarn.chalk]
count = "lea 16/2"
[strip.inch]
width = "1 in"
dents = 18
[unit.a]             # slate
strip = "inch"
ends = "18 slate"
[unit.e]
strip = "inch"
ends = "9 slate, 9 chalk"
[warp]
pitch = 28
order = "a*3  e -  a*2"   # two blanks are hers
[band]
rod = "steel 3"
[[span]]
height = 140
"""
WORKSHOP = '[unit.w]\nstrip = "inch"\nends = "18 chalk"\n'


def ends_of(text, workshop=None):
    draft = read_draft(text, workshop=workshop)
    assert not [n for n in draft.notes if n.severity.value == "error"], draft.notes
    return [draft.kinds[unit.kind].ends_text for unit in draft.units]


def test_one_unit_of_a_kind_becomes_of_a_new_kind_in_its_place():
    after = yarn_of_units(DRAFT, {"a2"}, "slate", "chalk")
    assert 'order = "a b a  e -  a*2"  # two blanks are hers' in after
    assert ends_of(after) == [
        "18 slate",
        "18 chalk",
        "18 slate",
        "9 slate, 9 chalk",
        "18 slate",
        "18 slate",
    ]
    assert "# from the mill" in after
    assert "# slate" in after


def test_all_units_of_a_kind_change_it_and_the_order_stays():
    after = yarn_of_units(DRAFT, {"a1", "a2", "a3", "a4", "a5"}, "slate", "chalk")
    assert after == DRAFT.replace('ends = "18 slate"', 'ends = "18 chalk"')


def test_only_the_yarn_that_is_meant_changes_in_a_unit_of_two():
    after = yarn_of_units(DRAFT, {"e1", "a1"}, "chalk", "slate")
    assert ends_of(after)[3] == "9 slate, 9 slate"
    assert ends_of(after)[0] == "18 slate"


def test_a_kind_that_is_there_is_taken_even_from_the_workshop():
    after = yarn_of_units(DRAFT, {"a5"}, "slate", "chalk", workshop=WORKSHOP)
    assert 'order = "a*3  e -  a w"' in after
    assert after.count("[unit.") == DRAFT.count("[unit.")


def test_done_twice_the_same_kind_serves():
    once = yarn_of_units(DRAFT, {"a1"}, "slate", "chalk")
    assert yarn_of_units(once, {"a1"}, "slate", "chalk").count("[unit.") == once.count("[unit.")


def test_units_that_do_not_have_it_and_drafts_without_an_order_say_so():
    with pytest.raises(NotEditable, match="none of these units has chalk"):
        yarn_of_units(DRAFT, {"a1"}, "chalk", "slate")
    with pytest.raises(NotEditable, match="no order"):
        yarn_of_units("[warp]\npitch = 3\n", {"a1"}, "chalk", "slate")


def test_a_new_colour_is_a_new_yarn_like_the_old_but_for_its_lot_and_stock():
    draft = read_draft(yarn_like(DRAFT, "slate", "#102030"))
    new, old = draft.yarns["slate-2"], draft.yarns["slate"]
    assert (new.colour, new.count.tex, new.lot, new.in_stock_g) == ("#102030", old.count.tex, "", 0)
    again = yarn_like(yarn_like(DRAFT, "slate", "#102030"), "slate-2", "#000000")
    assert "[yarn.slate-3]" in again


TOKENS = st.lists(st.sampled_from(["a", "e", "-", "a*2", "e*3", "-*2"]), min_size=1, max_size=8)


@settings(max_examples=80, deadline=None)
@given(TOKENS, st.data())
def test_exactly_the_units_that_are_asked_change(tokens, data):
    """Whatever the order: who was asked has chalk for slate, everybody else what he had."""
    text = DRAFT.replace("a*3  e -  a*2", " ".join(tokens))
    units = [name for name, _ in named(" ".join(tokens))]
    if not units:
        return
    asked = data.draw(st.sets(st.sampled_from(units), min_size=1))
    before, after = ends_of(text), ends_of(yarn_of_units(text, asked, "slate", "chalk"))
    wanted = [
        ends.replace("slate", "chalk") if unit in asked else ends
        for unit, ends in zip(units, before, strict=True)
    ]
    assert after == wanted

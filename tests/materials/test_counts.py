"""Yarn counts: what is read is what was written, in every system."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.materials.counts import (
    SYSTEMS,
    CountProblem,
    YarnCount,
    count_of,
    read_count,
    tex_of,
)

NUMBERS = st.floats(0.05, 5000, allow_nan=False)


@given(st.sampled_from(sorted(SYSTEMS)), NUMBERS)
@settings(max_examples=60)
def test_a_count_and_its_tex_are_each_others_inverse(system, number):
    assert count_of(tex_of(number, system), system) == pytest.approx(number, rel=1e-12)


@given(st.sampled_from(sorted(SYSTEMS)), st.integers(1, 400))
@settings(max_examples=60)
def test_a_system_may_stand_before_or_after_its_number(system, number):
    before, after = read_count(f"{system} {number}"), read_count(f"{number} {system}")
    assert type(before) is type(after)
    if isinstance(before, YarnCount):
        assert before.tex == after.tex == pytest.approx(tex_of(number, system))


@given(st.text(max_size=20))
@settings(max_examples=200)
def test_no_label_makes_the_reader_fall(text):
    assert isinstance(read_count(text), YarnCount | CountProblem)


@given(st.integers(7, 120), st.integers(2, 6))
@settings(max_examples=40)
def test_the_smaller_number_is_the_fold_either_way_round(single, fold):
    one, other = read_count(f"Ne {single}/{fold}"), read_count(f"Ne {fold}/{single}")
    assert one.tex == other.tex == pytest.approx(fold * tex_of(single, "Ne"))
    assert one.folds == fold


def test_a_single_is_one_and_a_fold_shares_its_tex_among_its_singles():
    single, fold, told = (read_count(label) for label in ("tex 200", "tex 100/2", "34 tex x 2"))
    assert (single.folds, single.single_tex) == (1, 200)
    assert (fold.folds, fold.single_tex) == (2, 100)
    assert (told.folds, told.single_tex, told.tex) == (2, 34, 68)
    assert (read_count("Ne 60/24").folds, read_count("Ne 60/25").says[:2]) == (24, "25")


@pytest.mark.parametrize("label", ["lea 0", "lea 7/0", "Ne Nm 4", "lea 16/2.5", "tex 1e9", ""])
def test_what_cannot_be_a_count_says_why(label):
    assert read_count(label).says

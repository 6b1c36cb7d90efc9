"""Moves print as they parse, at other places too."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.moves import (
    KEYWORDS,
    Block,
    CrossText,
    FigureText,
    PlaitText,
    ShiftText,
    TurnText,
    parsed,
)
from crossfell.draft.rewrite import as_text, mirrored, moved, reversed_

PLACES = st.integers(1, 400)
SIDES = st.sampled_from([1, -1])
NAMES = st.from_regex(r"[^\W\d_][\w'-]{0,8}", fullmatch=True).filter(lambda n: n not in KEYWORDS)


@st.composite
def blocks(draw):
    first = draw(PLACES)
    return Block(first, first + draw(st.integers(0, 9)), 0, 0)


STEPS = st.one_of(
    st.builds(CrossText, blocks(), st.booleans(), blocks(), st.just(0), st.just(0)),
    st.builds(
        TurnText, blocks(), st.integers(1, 9).flatmap(lambda n: SIDES.map(lambda s: n * s)),
        st.booleans(), st.just(0), st.just(0),
    ),
    st.builds(
        ShiftText, blocks(), st.integers(1, 30).flatmap(lambda n: SIDES.map(lambda s: n * s)),
        st.just(0.0), st.just(0), st.just(0),
    ),
    st.builds(
        ShiftText, blocks(), st.just(0), st.integers(1, 9999).map(lambda n: n / 100),
        st.just(0), st.just(0),
    ),
    st.builds(
        PlaitText, blocks().filter(lambda b: b.last > b.first), st.just(0), st.just(0)
    ),
    st.builds(
        FigureText, NAMES, PLACES, st.booleans(), st.booleans(), st.booleans(), st.just(0),
        st.just(0),
    ),
)  # fmt: skip


def placeless(step):
    """A step without the columns that it was read from."""
    bare = {
        name: replace(value, column=0, length=0)
        for name in ("block", "first", "second")
        if isinstance(value := getattr(step, name, None), Block)
    }
    return replace(step, column=0, length=0, **bare)


@settings(max_examples=60, deadline=None)
@given(STEPS)
def test_a_move_reads_back_as_it_was_written(step):
    (read,) = parsed(as_text(step))
    assert placeless(read) == step


@settings(max_examples=50, deadline=None)
@given(STEPS, st.integers(0, 30))
def test_mirrored_moved_and_reversed_undo_themselves(step, by):
    widths = {step.name: 4} if isinstance(step, FigureText) else {}
    assert moved(moved(step, by), -by) == step
    if not isinstance(step, PlaitText):
        ((once,), (other,)) = mirrored(step, 500, widths), reversed_(step)
        assert mirrored(once, 500, widths) == [step]
        assert reversed_(other) == [step]
        assert reversed_(once) == mirrored(other, 500, widths)

"""Where each unit lies after a move, which face is up, and how far it stands from its place."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from small_drafts import order_from

FULL, GAPS = "a*6", "a a - a - -"


def row_after(order, count=6):
    """Numbers of units from the left at the last band; - where a place is empty."""
    names = order.names
    row = order.by_place(len(order.place) - 1, count)
    return " ".join("-" if unit is None else names[unit].removeprefix("a") for unit in row)


@pytest.mark.parametrize(
    ("warp", "moves", "row"),
    [
        (FULL, "1-2 over 3-5", "3 4 5 1 2 6"),
        (FULL, "2 under 3-6", "1 3 4 5 6 2"),
        (FULL, "roll 2-5 right", "1 5 4 3 2 6"),
        (FULL, "roll 1-3 left", "3 2 1 4 5 6"),
        (FULL, "roll 2-5 right\nroll 2-5 right", "1 2 3 4 5 6"),
        (FULL, "plait 1-6", "2 4 1 6 3 5"),
        (FULL, "turn 2-5 right", "1 2 3 4 5 6"),
        (GAPS, "1-2 over 3", "- 1 2 3 - -"),
        (GAPS, "roll 2-4 left", "1 3 - 2 - -"),
        (GAPS, "shift 4 right 2", "1 2 - - - 3"),
        (GAPS, "shift 4 left 1", "1 2 3 - - -"),
        (GAPS, "shift 1-2 right 1", "- 1 2 3 - -"),
        (GAPS, "shift 4 right 1\nshift 1-2 right 2", "- - 1 2 3 -"),
        (GAPS, "shift 1-4 right 2", "- - 1 2 - 3"),
    ],
)
def test_who_lies_where_after_a_move(warp, moves, row):
    assert row_after(order_from(moves, warp=warp)) == row


def test_a_roll_reverses_a_block_and_shows_its_backs():
    order = order_from("roll 2-4 right", "turn 3 left")
    assert order.face[1].tolist() == [1, -1, -1, -1, 1, 1]
    assert row_after(order_from("roll 2-4 right")) == "1 4 3 2 5 6"
    assert order.face[2].tolist() == [1, -1, 1, -1, 1, 1]  # unit 3 is in the middle still
    assert order.spans[0].half_turns.tolist() == [0, 1, 1, 1, 0, 0]
    assert order.spans[1].half_turns.tolist() == [0, 0, -1, 0, 0, 0]


@pytest.mark.parametrize(
    ("moves", "row", "offset"),
    [
        ("shift 4 right 9 mm", "1 2 - 3 - -", (0, 0, 9)),
        ("shift 4 right 12 mm", "1 2 - - 3 -", (0, 0, -8)),
        ("shift 4 right 45 mm", "1 2 - - - 3", (0, 0, 5)),
        ("shift 4 left 12 mm", "1 2 3 - - -", (0, 0, 8)),
        ("shift 1-2 right 12 mm", "- 1 2 3 - -", (-8, -8, 0)),
        ("shift 4 right 40 mm\nshift 1-2 right 38 mm", "- - 1 2 - 3", (-2, -2, 0)),
    ],
)
def test_a_slide_by_a_length_is_named_after_the_nearest_place(moves, row, offset):
    """Places are 20 mm apart."""
    order = order_from(moves, warp=GAPS)
    assert row_after(order) == row
    assert order.offset_mm[-1].tolist() == pytest.approx(offset)


def test_a_slide_into_another_unit_is_an_error():
    order = order_from("shift 1-2 right 40 mm", warp=GAPS)
    assert {note.code for note in order.notes} == {"passes-a-unit"}


def test_what_stands_to_the_right_stands_to_the_left_after_a_roll():
    order = order_from("shift 4 right 6 mm\nroll 4 right", warp=GAPS)
    assert order.offset_mm[-1].tolist() == [0, 0, -6]


ROWS = st.lists(st.sampled_from("aa-"), min_size=4, max_size=8).filter(lambda row: "a" in row)


@settings(max_examples=40, deadline=None)
@given(ROWS, st.data())
def test_blocks_change_sides_with_their_gaps(row, data):
    """A crossing on a row of letters: what stood at the left stands at the right."""
    count = len(row)
    first, middle, last = data.draw(
        st.lists(st.integers(1, count), min_size=3, max_size=3, unique=True).map(sorted)
    )
    names = iter(range(1, count + 1))
    lying = [str(next(names)) if letter == "a" else "-" for letter in row]
    order = order_from(f"{first}-{middle - 1} over {middle}-{last}", warp=" ".join(row))
    left, right = lying[first - 1 : middle - 1], lying[middle - 1 : last]
    after = [*lying[: first - 1], *right, *left, *lying[last:]]
    assert row_after(order, count) == " ".join(after)
    crossings = sum(x != "-" for x in left) * sum(x != "-" for x in right)
    assert len(order.spans[0].word) == crossings
    assert all(letter > 0 for letter in order.spans[0].word)

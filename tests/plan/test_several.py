"""Several pieces: needs added up, stock taken once, then rounded; against search over all ways."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from test_quote import TEXT, WORKSHOP, piece

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece
from crossfell.plan.several import PiecesOf, together


def part(made, pieces=1):
    return PiecesOf(draft=made.draft, amounts=made.amounts, pieces=pieces)


def test_one_piece_together_is_that_piece():
    made = piece(stock='heddles = ["300 mm"]')
    one = together([part(made)])
    assert one.yarns == made.amounts.yarns
    assert one.rods == made.amounts.rods
    assert one.strips == made.amounts.strips
    assert one.charged == made.amounts.charged


def test_ten_alike_share_a_cone_and_the_stock():
    """What one needs fits ten times into few cones; the off-cut of 400 mm is there once."""
    text = TEXT.replace('put_up = "100 g"', 'put_up = "1 kg"\nin_stock = "5 g"', 1)
    made = piece(text=text, rates='charge = "bought"')
    ten = together([part(made, 10)])
    (slate,) = ten.yarns
    assert slate.need_g == pytest.approx(10 * made.amounts.yarns[0].need_g)
    assert slate.put_ups == -(-(slate.need_g - 5) // 1000)
    assert slate.put_ups < 10 * made.amounts.yarns[0].put_ups
    (rod,) = ten.rods
    assert sum(bar.times for bar in rod.plan.bars if bar.in_stock) <= 1
    assert made.quote(10).materials.likely == round(100 * ten.charged.total)


def test_different_pieces_buy_their_yarn_together_and_keep_lots_apart():
    low = piece()
    high = piece(text=TEXT.replace("height = 150", "height = 900"))
    other = piece(text=TEXT.replace("[yarn.slate]", '[yarn.slate]\nlot = "B 7"', 1))
    both = together([part(low), part(high, 2), part(other)])
    names = {need.yarn: need for need in both.yarns}
    assert list(names) == ["slate", "slate of Untitled"]
    assert names["slate"].need_g == pytest.approx(
        low.amounts.yarns[0].need_g + 2 * high.amounts.yarns[0].need_g
    )
    assert names["slate of Untitled"].need_g == pytest.approx(other.amounts.yarns[0].need_g)


def fewest(pieces, length, owned):
    """Fewest bars to buy by trying every way of putting pieces into bars."""
    best = len(pieces)
    for ways in product(range(len(owned) + len(pieces)), repeat=len(pieces)):
        room = dict(enumerate([*owned, *[length] * len(pieces)]))
        for size, bar in zip(pieces, ways, strict=True):
            room[bar] -= size
        if min(room.values()) >= 0:
            best = min(best, len({bar for bar in ways if bar >= len(owned)}))
    return best


@given(st.lists(st.integers(40, 110), min_size=1, max_size=2), st.integers(1, 2))
@settings(max_examples=8, deadline=None)
def test_rods_of_several_pieces_are_bought_as_few_as_there_can_be(pitches, pieces):
    """Source: exhaustive search, no published case."""
    workshop = WORKSHOP.format(rates="", stock='kerf = 0\nrod_length = "650 mm"').replace(
        "400 * 1", "500 * 1"
    )
    one_band = TEXT[: TEXT.rindex("[[span]]")]
    made = [
        Piece(read_draft(one_band.replace("pitch = 24", f"pitch = {p}"), workshop=workshop))
        for p in pitches
    ]
    parts = [part(m, pieces if k == 0 else 1) for k, m in enumerate(made)]
    (rod,) = together(parts).rods
    assert rod.plan.proved
    if len(rod.pieces) <= 5:
        assert rod.plan.bought == fewest(rod.pieces, 650, [500])

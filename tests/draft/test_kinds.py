"""Moves of every kind print as they parse, at other places too, and can be undone.

Braids are compared by coordinates of curves on the punctured disc, which know nothing of moves
(Dehornoy, Dynnikov, Rolfsen, Wiest: Ordering Braids, 2008, ch. XII; see `order.braid`).
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft import kinds
from crossfell.draft.forms import MODIFIERS, Amount, Block, Every
from crossfell.draft.kinds import FIGURE, KEYWORDS, KINDS, RESERVED, said_of
from crossfell.draft.moves import parsed
from crossfell.draft.plain import Placing
from crossfell.order.braid import same_braid
from small_drafts import order_from

PLACES = st.integers(1, 40)
BLOCKS = st.builds(lambda first, more: Block(first, first + more), PLACES, st.integers(0, 5))
SIGNS = st.sampled_from([1, -1])
FILLS = {  # what can stand in a slot, by its name
    "block": BLOCKS, "other": BLOCKS, "over": st.booleans(), "way": st.booleans(),
    "turning": SIGNS, "side": SIGNS, "times": st.integers(1, 9),
    "amount": st.one_of(
        st.builds(Amount, places=st.integers(1, 30)), st.just(Amount(places=0.5)),
        st.builds(Amount, length_mm=st.integers(1, 9999).map(lambda n: n / 100)),
    ),
    "name": st.from_regex(r"[^\W\d_][\w'-]{0,8}", fullmatch=True).filter(lambda n: n not in RESERVED),
    "place": PLACES, "every": st.none() | st.builds(Every, st.just(1), st.integers(41, 90)),
    "modifiers": st.sets(st.sampled_from(MODIFIERS)).map(lambda s: tuple(m for m in MODIFIERS if m in s)),
}  # fmt: skip


def moves_of(kind):
    filled = st.tuples(*(FILLS[name] for name in kind.parts.names)).map(lambda v: kind.said(*v))
    return filled.filter(lambda move: not kind.wrong(move))


MOVES = st.sampled_from(KINDS).flatmap(moves_of)


@settings(max_examples=200, deadline=None)
@given(MOVES)
def test_a_move_reads_back_as_it_was_written(move):
    assert parsed(move.text()) == (move,)


@settings(max_examples=200, deadline=None)
@given(MOVES, st.integers(0, 30))
def test_mirrored_moved_and_reversed_undo_themselves(move, by):
    widths = {move.figure: 4}
    assert move.moved(by).moved(-by) == move
    if move.kind.mirrors:
        ((once,), (other,)) = move.mirrored(200, widths), move.exchanged()
        assert once.mirrored(200, widths) == [move]
        assert other.exchanged() == [move]
        assert once.exchanged() == other.mirrored(200, widths)


def neighbours(move):
    """The move with its second block right beside its first."""
    if len(move.blocks) < 2:
        return move
    first, other = move.blocks
    moved = Block(first.last + 1, first.last + 1 + other.last - other.first)
    return move.kind.said(*(moved if v is other else v for v in move.values))


@settings(max_examples=100, deadline=None)
@given(MOVES.filter(lambda move: not move.figure), st.booleans())
def test_the_mirror_in_words_is_the_mirror_of_what_is_made(move, exchanged):
    """Kinds say it by their slots, crossings and turns by what they are: two ways to one end."""
    move = neighbours(move)
    said = move.exchanged() if exchanged else move.mirrored(101, {})
    at = Placing(exchanged=True) if exchanged else Placing(mirrored_in=100)
    made = [plain.laid(at, plain.where).does for plain in move.kind.out(move, 28.0)]
    assert [plain.does for one in said for plain in one.kind.out(one, 28.0)] == made


def in_eight(kind):
    """Moves of a kind that a warp of eight units in places 2 to 9 of ten can make."""
    small = {
        **FILLS, "block": st.builds(Block, st.integers(3, 4), st.integers(5, 6)),
        "other": st.builds(Block, st.just(7), st.integers(7, 9)), "amount": st.just(Amount(1)),
    }  # fmt: skip
    return st.tuples(*(small[name] for name in kind.parts.names)).map(lambda v: kind.said(*v))


@pytest.mark.parametrize("kind", [k for k in KINDS if k is not FIGURE], ids=lambda k: k.name)
@settings(max_examples=12, deadline=None)
@given(data=st.data())
def test_a_move_and_what_undoes_it_are_nothing(kind, data):
    move = neighbours(data.draw(in_eight(kind)))
    if kind.name == "shift":
        move = kind.said(Block(2, 9), *move.values[1:])
    made = kind.out(move, 28.0)
    back = [said_of(plain.undone()).text() for plain in reversed(made)]
    order = order_from("\n".join([move.text(), *back]), warp="- a*8 -")
    span = order.spans[0]
    assert not [note for note in order.notes if note.severity.value == "error"]
    assert same_braid(8, span.word, ())
    assert not any(span.half_turns)
    assert order.place[1].tolist() == order.place[0].tolist()


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.name)
def test_examples_of_a_kind_are_of_that_kind(kind):
    assert [move.kind for text in kind.examples for move in parsed(text)] == [kind] * len(
        kind.examples
    )


def test_only_first_words_are_reserved():
    assert RESERVED == ("turn", "roll", "shift", "plait")
    assert {"round", "every", "to", "half", "place", "over", "mirrored"} <= set(KEYWORDS)
    keys = [kind.key for kind in KINDS if kind.key]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("text", ["4 round 5-7", "4 round 5-7 under", "2-3 round 1"])
def test_a_round_comes_home_wraps_each_once_and_is_not_undone(text):
    order = order_from(text, warp="a*8")
    word = order.spans[0].word
    assert order.place[1].tolist() == order.place[0].tolist()
    assert not same_braid(8, word, ())
    (round_,) = parsed(text)
    (other,) = round_.exchanged()
    both = order_from(f"{text}\n{other.text()}", warp="a*8").spans[0].word
    assert same_braid(8, both, ())
    wide = [block.last - block.first + 1 for block in round_.blocks]
    assert len(word) == 2 * wide[0] * wide[1]
    assert kinds.ROUND.told.startswith("a round is written `4 round 5-7`")


@pytest.mark.parametrize(
    ("moves", "told"),
    [
        ("4 round 5-7", []), ("4 over 5-7, 7 under 4-6", []), ("1 over 2, 1 over 2", []),
        ("4 over 5, 5 round 6", []), ("4 round 5, 1 over 2, 2 under 3, 1 over 2", ["interlaced"]),
        ("1 over 2, 2 under 3, 1 over 2", ["interlaced"]),
    ],
)  # fmt: skip
def test_a_round_is_meant_and_not_called_interlaced(moves, told):
    order = order_from(moves, warp="a*8")
    assert [note.code for note in order.notes if note.code == "interlaced"] == told

"""Drafts at random for the tests of the plan: crossings, turns, rolls, shifts, empty places."""

from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece

DRAFT = """
{more}
[yarn.flax]
count = "tex 100"
fibre = "linen"
[strip.s]
width = 10
dents = 7
[unit.a]
strip = "s"
ends = "7 flax"
[warp]
pitch = 20
order = "{warp}"
[band]
rod = "steel 3"
"""


def piece_from(*moves, warp="a*6", more=""):
    """A computed piece whose spans have these moves; it must have no errors."""
    text = DRAFT.format(warp=warp, more=more)
    for span in moves:
        text += f'[[span]]\nheight = 200\nmoves = """\n{span}\n"""\n'
    piece = Piece(read_draft(text))
    notes = (*piece.draft.notes, *piece.order.notes)
    errors = [note.message for note in notes if note.severity.value == "error"]
    assert not errors, errors
    return piece


@st.composite
def moves_at_random(draw, places):
    """One move that can always be made on a full batten."""
    kind = draw(st.sampled_from(["cross", "cross", "cross", "turn", "roll", "plait"]))
    first = draw(st.integers(1, places - 1))
    last = draw(st.integers(first + 1, min(places, first + 4)))
    if kind == "cross":
        middle = draw(st.integers(first + 1, last))
        word = draw(st.sampled_from(["over", "under"]))
        return f"{first}-{middle - 1} {word} {middle}-{last}"
    if kind == "plait":
        return f"plait {first}-{last}"
    side = draw(st.sampled_from(["left", "right"]))
    return f"{kind} {first}-{last} {side}"


@st.composite
def pieces_at_random(draw, *, most_units=8, most_spans=4, more=""):
    """A piece of some units and spans; interlaced spans, wraps and gaps all come up."""
    order = draw(st.lists(st.sampled_from(["a", "a", "a", "-"]), min_size=3, max_size=most_units))
    order[0] = order[-1] = "a"
    spans = draw(
        st.lists(
            st.lists(moves_at_random(len(order)), max_size=4).map("\n".join),
            min_size=1,
            max_size=most_spans,
        )
    )
    return piece_from(*spans, warp=" ".join(order), more=more)

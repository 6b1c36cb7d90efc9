"""After an edit the piece is the one that would come from nothing, record by record, bit for bit."""

import dataclasses

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.piece import Piece, piece_after
from same_records import differences

STAGES = ("order", "pairs", "paths", "holds", "bobbins", "winding", "loom", "amounts", "hung",
          "notes")  # fmt: skip
HEAD = """
[yarn.flax]
count = "tex 100"
fibre = "linen"
[strip.s]
width = 10
dents = 8
[unit.a]
strip = "s"
ends = "4 flax"
[unit.b]
strip = "s"
ends = "8 flax"
[figure.eye]
places = 4
spans = ["1-2 over 3-4", "2 under 3", "1-2 over 3-4"]
[warp]
pitch = 20
order = "a*3 - b a b*2 a"
"""
MOVES = (
    "1 over 2", "3-4 under 5-6", "2-3 over 4", "7 under 8", "turn 6 right", "turn 2-5 left twice",
    "roll 5-7 right", "roll 1-3 left", "shift 5 left 1 place", "shift 8 right 2 mm", "plait 1-8",
    "eye at 4", "eye at 1 mirrored", "3-5 over 6-8, 3-5 under 6-8, 4 over 5",
)  # fmt: skip
LINES = st.lists(st.sampled_from([*MOVES, "# a remark", ""]), max_size=5)
SPANS = st.tuples(st.sampled_from((60, 140, 200)), LINES)


def text_of(spans):
    """The draft with these spans: (height, lines of moves)."""
    rows = [
        f'[[span]]\nheight = {height}\nmoves = """\n' + "\n".join(lines) + '\n"""\n'
        for height, lines in spans
    ]
    return HEAD + "".join(rows)


@st.composite
def edited(draw):
    """The spans of a draft, and of it after one edit or two."""
    spans = draw(st.lists(SPANS, min_size=2, max_size=5))
    now = list(spans)
    for _ in range(draw(st.integers(1, 2))):
        at = draw(st.integers(0, len(now) - 1))
        height, lines = now[at]
        match draw(st.sampled_from(["change", "put in", "take out", "move", "height"])):
            case "change":
                now[at] = (height, draw(LINES))
            case "put in":
                now.insert(at, draw(SPANS))
            case "take out" if len(now) > 1:
                del now[at]
            case "move":
                now[at] = (height, [*lines, draw(st.sampled_from(MOVES))])
            case _:
                now[at] = (height + 10, lines)
    return spans, now


@settings(max_examples=60, deadline=None)
@given(edited())
def test_after_an_edit_everything_is_as_from_nothing(both):
    before, after = map(text_of, both)
    former = Piece(read_draft(before))
    for stage in STAGES if former.computable else ():
        getattr(former, stage)
    draft = read_draft(after, former=former.draft)
    now, anew = piece_after(former, draft), Piece(read_draft(after))
    assert differences(draft, anew.draft) == []
    for stage in STAGES if anew.computable else ("notes",):
        assert differences(getattr(now, stage), getattr(anew, stage), stage) == []


def test_what_an_edit_leaves_is_not_worked_out_again():
    spans = [
        (140, ["3-5 over 6-8, 3-5 under 6-8, 4 over 5"]),
        (140, ["1 over 2"]),
        (90, ["plait 1-8"]),
    ]
    former = Piece(read_draft(text_of(spans)))
    assert former.paths
    now = piece_after(former, read_draft(text_of([spans[0], (140, ["2 over 3"]), spans[2]])))
    kept = [a.shape is b.shape for a, b in zip(former.order.spans, now.order.spans, strict=True)]
    assert kept == [True, False, True]
    known, before = now.paths.pressing.known, former.paths.pressing.known
    assert any(name in before and contact is before[name] for name, contact in known.items())


def test_a_difference_of_one_bit_is_seen():
    paths = Piece(read_draft(text_of([(140, ["1 over 2"])]))).paths
    nearly = np.nextafter(paths.chord_mm, np.inf)
    assert differences(paths, dataclasses.replace(paths, chord_mm=nearly)) == [".chord_mm"]

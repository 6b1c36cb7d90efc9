"""Our reader of moves against a parser generator (lark, MIT) given the same grammar."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lark import Lark, Token, Tree, UnexpectedInput

from crossfell.draft.phrases import Stops, phrases

GRAMMAR = r"""
line: (move ("," move)* ","?)?
?move: cross | turn | roll | shift | plait | figure
cross: places (OVER | UNDER) places
turn: "turn" places side times?
roll: "roll" places side times?
shift: "shift" places side (COUNT | LENGTH)
plait: "plait" places
figure: NAME "at" COUNT modifier*
places: COUNT ("-" COUNT)?
!side: "left" | "right"
!times: "twice" | COUNT "times"
!modifier: "mirrored" | "backwards" | "reversed"
OVER: "over"
UNDER: "under"
COUNT: /\d{1,9}/
LENGTH.2: /\d+(\.\d+)?(\s+\d+\/\d+)?(\/\d+)?\s*(mm|cm|m|in|ft|yd)\b/
NAME: /[^\W\d][\w'-]*/
%ignore /[ \t\u00a0\u202f]+/
%ignore /#.*/
"""
LARK = Lark(GRAMMAR, parser="lalr", start="line", propagate_positions=True)
WORDS = (
    "1", "2", "12", "1234567890", "-", ",", "over", "under", "turn", "roll", "shift", "plait",
    "left", "right", "twice", "times", "at", "mirrored", "backwards", "reversed", "eye", "o'er",
    "mm", "in", "3/4", "4 3/4 in", "2.5 mm", "7 m", "#", ".", "é", "²", "٣", "\u00a0", "overt", "turnip",
    "min",
)  # fmt: skip
MOVES = (
    "3-4 over 5-6", "2 under 3", "turn 7 right", "turn 3-5 left twice", "roll 1-2 left 3 times",
    "shift 4 right 2", "shift 4-6 left 1 1/2 in", "plait 3-8", "eye at 5 mirrored reversed",
)  # fmt: skip
GAP = st.sampled_from(["", " ", " ", " ", "  ", "\t", ", "])


@st.composite
def lines(draw):
    """Moves and words in a row, more or less as they could be."""
    parts = draw(st.lists(st.sampled_from(WORDS) | st.sampled_from(MOVES), max_size=7))
    return "".join(part + draw(GAP) for part in parts)


def theirs(line):
    """Moves as (kind, words and numbers in order, start, end), or where the line stops."""
    try:
        tree = LARK.parse(line)
    except UnexpectedInput as problem:
        at_end = getattr(getattr(problem, "token", None), "type", "") == "$END"
        return len(line) if at_end else problem.column - 1
    return [(m.data, words_of(m), m.meta.start_pos, m.meta.end_pos) for m in tree.children]


def words_of(node):
    """The words of a move as they stand, `twice` as 2 and a turn of no number as 1."""
    out = []
    for child in node.children:
        if isinstance(child, Token):
            out.append(str(child))
        elif isinstance(child, Tree) and child.data == "places":
            out.append((int(child.children[0]), int(child.children[-1]),
                        child.meta.start_pos, child.meta.end_pos))  # fmt: skip
        else:
            out.append("2" if str(child.children[0]) == "twice" else str(child.children[0]))
    if node.data in {"turn", "roll"} and len(out) < 3:
        out.append("1")
    return sorted(out, key=lambda item: isinstance(item, str))


def ours(line):
    """The same from our reader."""
    try:
        found = phrases(line)
    except Stops as stop:
        return stop.column
    return [(p.kind, [*map(tuple, p.places), *p.words], p.start, p.end) for p in found]


@settings(max_examples=800, deadline=None)
@given(lines())
def test_any_line_reads_alike(line):
    assert ours(line) == theirs(line)


@pytest.mark.parametrize(
    "line", [*MOVES, "", ",", "1 over 2,", "turn 3 left 2 mm", "3over4", "# no"]
)
def test_these_lines_read_alike(line):
    assert ours(line) == theirs(line)


def test_the_comparison_can_fail():
    assert ours("3 over 4") != theirs("3 under 4")
    assert ours("3 ower 4") != theirs("3 over 4")

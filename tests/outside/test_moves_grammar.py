"""Our reader of moves against a parser generator (lark, MIT) given the same grammar."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lark import Lark, Token, UnexpectedInput

from crossfell.draft.forms import Block, Every, Stops
from crossfell.draft.moves import said_in

GRAMMAR = r"""
line: (move ("," move)* ","?)?
?move: crossing | round | turn | roll | shift | plait | figure
crossing: places (OVER | UNDER) places
round: places "round" places (OVER | UNDER)?
turn: "turn" places side times?
roll: "roll" places side times?
shift: "shift" places side (COUNT | LENGTH | PLACES)
plait: "plait" places
figure: NAME "at" COUNT every? modifier*
every: "every" COUNT "to" COUNT
places: COUNT ("-" COUNT)?
!side: "left" | "right"
!times: "twice" | COUNT "times"
!modifier: "mirrored" | "backwards" | "reversed"
OVER: "over"
UNDER: "under"
COUNT: /\d{1,9}/
LENGTH.2: /\d+(\.\d+)?(\s+\d+\/\d+)?(\/\d+)?\s*(mm|cm|m|in|ft|yd)\b/
PLACES.2: /half\s+a\s+place\b|\d{1,9}\s+places?\b/
NAME: /[^\W\d][\w'-]*/
%ignore /[ \t\u00a0\u202f]+/
%ignore /#.*/
"""
LARK = Lark(GRAMMAR, parser="lalr", start="line", propagate_positions=True)
WORDS = (
    "1", "2", "12", "1234567890", "-", ",", "over", "under", "turn", "roll", "shift", "plait",
    "left", "right", "twice", "times", "at", "mirrored", "backwards", "reversed", "eye", "o'er",
    "mm", "in", "3/4", "4 3/4 in", "2.5 mm", "7 m", "#", ".", "é", "²", "٣", "\u00a0", "overt", "turnip",
    "min", "round", "every", "to", "half a place", "half  a", "2 places", "1 place", "half", "place",
)  # fmt: skip
MOVES = (
    "3-4 over 5-6", "2 under 3", "turn 7 right", "turn 3-5 left twice", "roll 1-2 left 3 times",
    "shift 4 right 2", "shift 4-6 left 1 1/2 in", "plait 3-8", "eye at 5 mirrored reversed",
    "4 round 5-7", "4-5 round 6 under", "shift 4 right half a place", "shift 4 left 2 places",
    "eye at 1 every 4 to 29", "eye at 29 every 4 to 1 mirrored", "round at 3", "every at 2 every 1 to 3",
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
    """The words of a move as they stand, `twice` as 2, a turn of no number as 1, a round as over."""
    out = []
    for child in node.children:
        if isinstance(child, Token):
            out.append(plain(child))
        elif child.data == "places":
            out.append((int(child.children[0]), int(child.children[-1]),
                        child.meta.start_pos, child.meta.end_pos))  # fmt: skip
        elif child.data == "every":
            out.append(("every", *map(int, child.children)))
        else:
            out.append("2" if str(child.children[0]) == "twice" else plain(child.children[0]))
    if node.data in {"turn", "roll"} and len(out) < 3:
        out.append("1")
    if node.data == "round" and len(out) < 3:
        out.append("over")
    return out


def plain(word):
    """A number in the figures of any script as we write it."""
    return str(int(word)) if word.isdecimal() else str(word)


def ours(line):
    """The same from our reader."""
    try:
        found = said_in(line)
    except Stops as stop:
        return stop.column
    return [(m.kind.name, list(spelt(m)), m.column, m.column + m.length) for m in found]


def spelt(move):
    """What fills the slots of a move, as words and numbers."""
    for name, value in zip(move.kind.parts.names, move.values, strict=True):
        if isinstance(value, Block):
            yield value.first, value.last, value.column, value.column + value.length
        elif isinstance(value, Every):
            yield "every", *value
        elif name in {"over", "way"}:
            yield "over" if value else "under"
        elif name in {"turning", "side"}:
            yield "right" if value > 0 else "left"
        elif name == "modifiers":
            yield from value
        elif name == "amount":
            yield plain(value.said)
        elif value is not None:
            yield str(value)


@settings(max_examples=800, deadline=None)
@given(lines())
def test_any_line_reads_alike(line):
    assert ours(line) == theirs(line)


@pytest.mark.soak
@settings(max_examples=60_000, deadline=None)
@given(lines())
def test_sixty_thousand_lines_read_alike(line):
    assert ours(line) == theirs(line)


@pytest.mark.parametrize(
    "line",
    [
        *MOVES,
        "",
        ",",
        "1 over 2,",
        "turn 3 left 2 mm",
        "turn 3 left 2 places",
        "round at 3٣",
        "3over4",
        "# no",
    ],
)
def test_these_lines_read_alike(line):
    assert ours(line) == theirs(line)


def test_the_comparison_can_fail():
    assert ours("3 over 4") != theirs("3 under 4")
    assert ours("3 ower 4") != theirs("3 over 4")

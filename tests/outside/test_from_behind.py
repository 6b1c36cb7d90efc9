"""Pictures and words agree with threads in space, for who stands in front and who stands behind.

Source: none but geometry. Threads of a crossing are laid out here as points in space (x to the
weaver's right, y from her to the bobbins, z up), looked at from her seat or from behind, and
compared with what the cards draw and say; nothing of the order kernel or the drawings is used
for the expectation.
"""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.reader import read_draft
from crossfell.drawings import cards
from crossfell.drawings.cards import span_card
from crossfell.drawings.front import behind, front_view
from crossfell.piece import Piece
from crossfell.plan.phrasebook import teller_of

PLACES = 6
HEAD = f"""
[yarn.n]
count = "tex 200"
[strip.s]
width = 20
dents = 10
[unit.u]
strip = "s"
ends = "10 n"
[warp]
pitch = 25
order = "u*{PLACES}"
[[span]]
height = 300
moves = '''
"""
CROSSINGS = st.lists(
    st.tuples(st.integers(1, PLACES - 1), st.sampled_from(["over", "under"])),
    min_size=1, max_size=8,
)  # fmt: skip


def threads(moves):
    """Which unit is higher where two cross, and who lies where before and after.

    The strips are moved one crossing after another: the unit that passes over is lifted. In front
    of the reed a thread runs from its old place at the fell to its new one at the reed; behind,
    from its new place at the reed to its old one at the bobbins. Lifted in front, lifted behind.
    """
    row, higher = list(range(PLACES)), []
    for place, word in moves:
        left, right = row[place - 1], row[place]
        higher.append((left, right) if word == "over" else (right, left))
        row[place - 1], row[place] = right, left
    return row, higher


def plain(higher):
    """Whether each pair crosses at most once: then chords show the crossing that is there."""
    return len({frozenset(pair) for pair in higher}) == len(higher)


def piece_of(moves):
    text = HEAD + "\n".join(f"{i} {word} {i + 1}" for i, word in moves) + "\n'''\n"
    return Piece(read_draft(text))


def rows_seen(scene):
    """Names from left to right: the lower row, then the upper one."""
    tags = [text for text in scene.texts if text.bold and text.text.startswith("u")]
    high, low = (sorted({round(t.y, 3) for t in tags})[i] for i in (0, -1))
    return [
        [t.text for t in sorted(tags, key=lambda t: t.x) if round(t.y, 3) == y] for y in (low, high)
    ]


def names(units):
    return [f"u{u + 1}" for u in units]


@settings(max_examples=25, deadline=None)
@given(moves=CROSSINGS)
def test_rows_of_both_cards_are_what_is_seen_from_both_sides(moves):
    after, _ = threads(moves)
    piece = piece_of(moves)
    front, back = (span_card(piece, 1, view=v, places=(1, PLACES)) for v in ("front", "back"))
    assert rows_seen(front) == [names(range(PLACES)), names(after)]
    assert rows_seen(back) == [names(range(PLACES))[::-1], names(after)[::-1]]


def wrongly_drawn(piece, view, higher):
    """Crossings whose upper thread is not drawn last, nor mended in the other's outline."""
    scene = span_card(piece, 1, view=view, places=(1, PLACES))
    upper = {t.text: t.x for t in scene.texts if t.bold and t.y < scene.height_mm / 2}
    layer = next(layer for layer in scene.layers if layer.name == "open")
    whole = {round(item.x, 2): i for i, item in enumerate(layer.items) if not item.clip}
    starts = {name: commands[0][1][0] for name, commands in scene.clips}
    mended = [(round(i.x, 2), starts[i.clip]) for i in layer.items if i.clip]
    wrong = []
    for pair in higher:
        top, low = (round(upper[f"u{unit + 1}"], 2) for unit in pair)
        again = any(x == top and abs(start - low) < 10 for x, start in mended)
        if whole[top] < whole[low] and not again:
            wrong.append(pair)
    return wrong


@settings(max_examples=25, deadline=None)
@given(moves=CROSSINGS.filter(lambda moves: plain(threads(moves)[1])))
def test_what_is_up_is_drawn_over_on_both_cards(moves):
    """Up is up from both sides of a level warp; ribbons are told apart by where they end above."""
    for view in ("front", "back"):
        assert wrongly_drawn(piece_of(moves), view, threads(moves)[1]) == []


def test_the_comparison_can_fail(monkeypatch):
    """On the view of the hung piece from behind, over and under change: wrong at the loom."""
    monkeypatch.setitem(cards.VIEWS, "back", "behind")
    assert wrongly_drawn(piece_of([(3, "over")]), "back", [(2, 3)]) == [(2, 3)]


SAID = re.compile(
    r"(?:Take|Lay) (?:from below, )?(?P<bobbins>the bobbins? of )?(?P<who>[\w, ]+?)"
    r"(?: and lay (?:it|them)| (?:from places? [\d-]+|back) in places? (?P<here>\d+)[\d-]*;"
    r" (?:it then lies|they then lie|nothing that))"
    r"(?: from below,)? (?P<side>over|under|clear of|lies) (?P<whom>[\w, ]+?)"
    r"(?:, into places? (?P<first>\d+)[\d-]*)?(?: \(.*\))?(?:; .*)?\.$"
)


def units_said(text):
    """ "u3, u4 and u5 to u9": numbers from 0."""
    found = []
    for part in re.split(r", | and ", text):
        ends = [int(number) - 1 for number in re.findall(r"u(\d+)", part)]
        step = 1 if len(ends) < 2 or ends[1] >= ends[0] else -1
        found += ends if len(ends) < 2 else list(range(ends[0], ends[1] + step, step))
    return found


def heard(piece, side):
    """What the lays of a side say: who, into which places as counted there, over or under whom."""
    tell = teller_of(piece.draft)
    for step in piece.plan.steps:
        text = tell.sentence(step)
        if step.side == side and text.startswith(("Lay ", "Take ")):
            said = SAID.match(text)
            assert said, text
            assert bool(said["bobbins"]) == (side == "back")
            who, first = units_said(said["who"]), int(said["first"] or said["here"])
            yield who, first, said["side"], units_said(said["whom"])


@pytest.mark.parametrize("side", ["front", "back"])
@settings(max_examples=30, deadline=None)
@given(moves=CROSSINGS.filter(lambda moves: plain(threads(moves)[1])))
def test_the_words_of_each_side_do_what_the_threads_did(side, moves):
    """Every lay is read as words, for who stands there, and compared with the threads in space."""
    after, higher = threads(moves)
    piece = piece_of(moves)
    seen = after[::-1] if side == "back" else after
    for who, first, way, whom in heard(piece, side):
        if piece.order.spans[0].layable:  # else some are laid in two goes
            assert seen[first - 1 : first - 1 + len(who)] == who
        for pair in ((a, b) for a in who for b in whom):
            assert (pair[::-1] if way == "over" else pair) not in higher


@pytest.mark.parametrize(
    ("side", "want"),
    [("front", ([0], 2, "over", [1])), ("back", ([0], PLACES - 1, "over", [1]))],
)
def test_one_crossing_in_words(side, want):
    """u1 over u2: from behind it goes to the place before the last, and is over there too."""
    assert list(heard(piece_of([(1, "over")]), side)) == [want]


def test_on_the_wall_from_behind_over_and_under_change_too():
    """u3 over u4: it ends at the right above. From behind u4 is nearer, and its upper end right."""
    piece = piece_of([(3, "over")])
    for scene in (front_view(piece), behind(piece)):
        layer = next(layer for layer in scene.layers if layer.name == "open")
        crossed = [item.x for item in layer.items if abs(item.x - scene.width_mm / 2) < 26]
        assert len(crossed) == 2
        assert crossed[-1] > scene.width_mm / 2  # what is drawn last

"""Loom cards: every step once, letters for their distance, front and back, any title."""

import re
from functools import lru_cache
from io import BytesIO
from pathlib import Path

import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.drawings.album import Album
from crossfell.drawings.cards import large_names, large_place_mm, span_card
from crossfell.drawings.glyphs import missing
from crossfell.drawings.stretches import busy_stretches, windows
from crossfell.papers.card_rows import moments, shown
from crossfell.papers.letters import size_for_mm
from crossfell.papers.loom_cards import cards, cards_pdf, how_to_read, print_of
from crossfell.piece import Piece
from crossfell.plan.phrasebook import teller_of
from small_piece import small_draft

EXAMPLES = Path(__file__).parents[2] / "examples"
PT = 25.4 / 72


@lru_cache
def example(name):
    return Piece(read_file(next((EXAMPLES / name).glob("*.toml"))))


@lru_cache
def pages():
    """Text of every page."""
    document = pypdfium2.PdfDocument(cards_pdf(example("01-first-sampler")))
    out = []
    for page in document:
        text = page.get_textpage()
        out.append(re.sub(r"\s+", " ", text.get_text_bounded()))
        text.close()
        page.close()
    document.close()
    return out


def test_every_step_of_the_plan_stands_on_a_card_once():
    said = " ".join(pages())
    piece = example("01-first-sampler")
    tell = teller_of(piece.draft)
    for step in piece.plan.steps:
        first = " ".join(tell.sentence(step).split()[:6])
        assert f"{step.number} {first}" in said or f"{step.number}{first}" in said, step


def test_every_card_says_from_where_it_is_seen():
    for text in pages():
        assert "as seen from the weaver's seat" in text or "from behind the loom" in text
    assert any("BACK" in text for text in pages())


def test_sheds_of_every_pick_can_be_ticked():
    said = " ".join(pages())
    picks = sum(
        len(step.sheds) for step in example("01-first-sampler").plan.steps if step.band != 1
    )
    assert len(re.findall(r"\b(?:up|down)\b", said)) >= 2 * picks


def long_names():
    """The sampler with kinds that are long to write, one of them in letters that are not shipped."""
    text = example("01-first-sampler").draft.text
    for short, long in (("s", "slatedark"), ("g", "水"), ("y", "straw")):
        text = text.replace(f"[unit.{short}]", f'[unit."{long}"]')
    return Piece(
        read_draft(text.replace("s*2 y g*2 y s*2", "slatedark*2 straw 水*2 straw slatedark*2"))
    )


@pytest.mark.parametrize("make", [lambda: example("01-first-sampler"), long_names])
def test_large_print_can_be_read_from_a_metre_and_a_half(make):
    """Published, ISO 9241-3 text as quoted: 20 to 22 minutes of arc; 22 of them are 9.60 mm.

    Head, steps, sheds, places and what the batten looks like; only the foot line and the word
    above the lines for notes are smaller.
    """
    wanted = size_for_mm(1500) / PT
    small = set()

    def look(text, _cm, tm, _font, size):
        height = abs(tm[3]) * size if abs(tm[3]) != 1 else size
        if text.strip() and tm[5] > 15 / PT and 0 < height < 0.99 * wanted:
            small.add(text.strip())

    for page in PdfReader(BytesIO(cards_pdf(make(), large=True))).pages[:14]:
        page.extract_text(visitor_text=look)
    assert small <= {"Notes"}


@pytest.mark.parametrize("make", [lambda: example("02-tideline"), long_names])
def test_names_in_large_pictures_are_as_large(make):
    piece = make()
    names = set(large_names(piece))
    for span in range(1, len(piece.draft.spans) + 1):
        for places in windows(piece, span - 1, 6):
            scene = span_card(piece, span, places=places, large=True)
            called = [text for text in scene.texts if text.bold]
            assert called
            assert {text.text for text in called} <= names
            assert min(text.size_mm for text in called) >= size_for_mm(1500)
            wide = large_place_mm(piece)
            assert max(text.width_mm for text in called) <= wide


def test_long_names_are_shortened_with_a_key_and_said_in_full_below():
    piece = long_names()
    assert set(large_names(piece)) == {
        "sl1", "sl2", "sl3", "sl4", "st1", "st2", "A1", "A2",
    }  # fmt: skip
    says = how_to_read(piece, print_of(piece, large=True))
    assert "sl is slatedark, st is straw, A is [cjk unified ideograph-6c34]." in says
    scene = span_card(piece, 1, large=True)
    assert any(text.text == "slatedark1" for text in scene.texts)
    plain = example("02-tideline")
    assert "Names" not in how_to_read(plain, print_of(plain, large=True))


@pytest.mark.parametrize("large", [False, True])
def test_names_without_letters_of_their_own_stay_in_their_tags(large):
    piece = long_names()
    scene = span_card(piece, 1, places=(1, 8), large=large)
    wide = large_place_mm(piece) if large else 20.0
    for text in scene.texts:
        assert missing(text.text) == ()
        assert text.width_mm <= wide


@given(
    st.sets(st.integers(0, 59), max_size=60).flatmap(
        lambda changed: st.tuples(
            st.just(sorted(changed)),
            st.integers(max(changed, default=0) + 1, 60),
            st.integers(1, 20),
        )
    )
)
def test_rows_show_every_place_that_changed_once(case):
    changed, count, most = case
    rows = shown(changed, count, most)
    places = [place for first, last in rows for place in range(first, last)]
    assert places == sorted(set(places))
    assert set(changed or range(count)) <= set(places)
    assert all(0 < last - first <= max(most, 1) and last <= count for first, last in rows)


@pytest.mark.parametrize("name", ["01-first-sampler", "02-tideline", "03-long-harvest"])
def test_rows_of_the_back_end_as_the_next_band_begins(name):
    """What the steps say, done to the bobbins, leaves them as the draft has the strips."""
    piece = example(name)
    count = piece.draft.place_count
    for span in range(1, len(piece.draft.spans) + 1):
        steps = [s for s in piece.plan.steps if s.span == span and s.side == "back"]
        seen = moments(piece, span, "back", steps)
        assert seen[0].row == piece.order.by_place(span - 1, count)[::-1]
        assert seen[-1].row == piece.order.by_place(span, count)[::-1]
        assert seen[-1].faces == tuple(piece.order.face[span].tolist()) or not steps


@pytest.mark.parametrize("most", [3, 8, 16])
@pytest.mark.parametrize("name", ["02-tideline", "03-long-harvest"])
def test_windows_show_all_that_happens(name, most):
    piece = example(name)
    for index in range(len(piece.draft.spans)):
        busy = {p for a, b in busy_stretches(piece, index) for p in range(a, b + 1)}
        shown = [p for a, b in windows(piece, index, most) for p in range(a, b + 1)]
        assert busy <= set(shown)
        assert sorted(place for place in shown if place in busy) == sorted(busy)
        assert all(b - a < most for a, b in windows(piece, index, most))
        moved = (piece.order.place[index] != piece.order.place[index + 1]).sum()
        assert len(busy) >= moved


def test_what_goes_through_a_cut_picture_is_drawn_in_it():
    """Of six that pass six, a picture of the middle shows those that only pass through."""
    text = example("02-tideline").draft.text.replace('"a*5 e - b*12 - e a*5"', '"a*6 b*6"')
    head, _, _ = text.partition("[figure.eye]")
    piece = Piece(read_draft(head + '[[span]]\nheight = 200\nmoves = "1-6 over 7-12"\n'))
    scene = span_card(piece, 1, places=(5, 8))
    layer = next(layer for layer in scene.layers if layer.name == "open")
    assert len(layer.items) == 12
    assert sorted(t.text for t in scene.texts if t.bold) == sorted(
        ["a5", "a6", "b1", "b2", "b5", "b6", "a1", "a2"]
    )


def test_behind_the_loom_the_same_unit_is_on_top_and_sides_are_exchanged():
    text = """
[yarn.s]
count = "tex 207"
[strip.n]
width = 20
dents = 10
[unit.a]
strip = "n"
ends = "10 s"
[warp]
pitch = 24
order = "a*2"
[[span]]
height = 100
moves = "1 over 2"
"""
    piece = Piece(read_draft(text))
    front, back = (span_card(piece, 1, view=view, places=(1, 2)) for view in ("front", "back"))

    def row(scene):
        names = sorted((t.y, t.x, t.text) for t in scene.texts if t.bold)
        return [name for _, _, name in names]

    assert row(front) == ["a2", "a1", "a1", "a2"]
    assert row(back) == ["a1", "a2", "a2", "a1"]
    assert not any(t.text == "back" for t in back.texts)
    for scene in (front, back):
        top = scene.layers[1].items[-1]  # drawn last: in front
        starts_left = top.x < scene.width_mm / 2
        assert starts_left == (scene is back)  # a1 ends at the right in front, at the left behind


HOSTILE = '#let x = 1 $a$ *b* _c_ \\"quoted\\" <tag>'


def test_any_title_prints_as_it_is():
    text = example("01-first-sampler").draft.text.replace("First Light", HOSTILE + " שלום 🧵")
    draft = read_draft(text)
    assert draft.about.title.startswith("#let")
    pdf = PdfReader(BytesIO(cards_pdf(Piece(draft))))
    said = " ".join(pdf.pages[0].extract_text().split())
    assert '#let x = 1 $a$ *b* _c_ "quoted" <tag>' in said
    assert "\ufffd" not in said
    assert "spool of thread" in said


def test_the_same_draft_gives_the_same_bytes():
    piece = example("01-first-sampler")
    assert cards_pdf(piece) == cards_pdf(piece)


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (215.9, 279.4))])
def test_cards_come_on_both_papers(paper, size):
    text = example("01-first-sampler").draft.text.replace("[piece]", f'[piece]\npaper = "{paper}"')
    pdf = PdfReader(BytesIO(cards_pdf(Piece(read_draft(text)))))
    box = pdf.pages[0].mediabox
    assert (float(box.width) * PT, float(box.height) * PT) == pytest.approx(size, abs=0.05)


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("view", ["front", "back"])
def test_no_words_of_a_card_overlap_or_are_cut(view, large):
    for name in ("01-first-sampler", "03-long-harvest"):
        piece = example(name)
        for span in range(1, min(len(piece.draft.spans), 8) + 1):
            for places in windows(piece, span - 1, 11):
                scene = span_card(piece, span, view=view, places=places, large=large)
                boxes = [text.box() for text in scene.texts]
                for left, top, right, low in boxes:
                    assert left >= 0
                    assert top >= 0
                    assert right <= scene.width_mm
                    assert low <= scene.height_mm
                for i, one in enumerate(boxes):
                    for two in boxes[i + 1 :]:
                        apart = one[2] <= two[0] or two[2] <= one[0]
                        assert apart or one[3] <= two[1] or two[3] <= one[1], (name, span, places)


def test_a_card_sends_her_round_the_loom_where_the_other_side_comes_first():
    """Nobody opens the batten under hanging weights: what is done behind stands in between."""
    piece = Piece(read_draft(small_draft("1-2 over 3-4", order="a*6")))
    front, back = (
        card for card in cards(piece, Album())["cards"] if card["called"].startswith("Span 1")
    )
    texts = [step["text"] for step in front["steps"]]
    goes = {
        text: step["go"] for text, step in zip(texts, front["steps"], strict=True) if step["go"]
    }
    off = next(step for step in piece.plan.steps if step.kind == "weights-off")
    assert list(goes) == ["Batten level, chains on.", "Close the batten."]
    first, last = goes.values()
    assert first["where"] == f"GO BEHIND: {off.number}."
    assert "weights are off" in first["why"]
    assert "every weight hangs" in last["why"]
    behind = [step["go"] for step in back["steps"] if step["go"]]
    assert len(behind) == 1
    assert "batten is closed" in behind[0]["why"]

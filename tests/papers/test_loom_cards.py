"""Loom cards: every step once, letters for their distance, front and back, any title."""

import re
from functools import lru_cache
from io import BytesIO
from pathlib import Path

import pypdfium2
import pytest
from pypdf import PdfReader

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.drawings.cards import span_card
from crossfell.drawings.stretches import busy_stretches, windows
from crossfell.papers.letters import size_for_mm
from crossfell.papers.loom_cards import cards_pdf
from crossfell.piece import Piece

EXAMPLES = Path(__file__).parents[2] / "examples"
PT = 25.4 / 72


@lru_cache
def example(name):
    return Piece(read_file(next((EXAMPLES / name).glob("*.toml"))))


@lru_cache
def reader(large=False):
    return PdfReader(BytesIO(cards_pdf(example("01-first-sampler"), large=large)))


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
    for step in example("01-first-sampler").plan.steps:
        first = " ".join(step.text.split()[:6])
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


def test_large_print_can_be_read_from_a_metre_and_a_half():
    """Published, ISO 9241-3 text as quoted: 20 to 22 minutes of arc; 22 of them are 9.60 mm.

    Steps, sheds, places and what the batten looks like; only head and foot lines are smaller.
    """
    wanted = size_for_mm(1500) / PT
    small = []

    def look(text, _cm, tm, _font, size):
        height = abs(tm[3]) * size if abs(tm[3]) != 1 else size
        middle = 45 < tm[5] < 595 - 60
        if text.strip() and middle and 0 < height < 0.99 * wanted:
            small.append((text.strip(), height))

    for page in reader(large=True).pages[4:16]:  # two spans, front and back
        page.extract_text(visitor_text=look)
    said = {text for text, _ in small}
    assert all(
        "as seen from" in text or "from behind" in text or "open height" in text for text in said
    ), said


def test_names_in_large_pictures_are_as_large():
    piece = example("02-tideline")
    for span in range(1, len(piece.draft.spans) + 1):
        for places in windows(piece, span - 1, 11):
            scene = span_card(piece, span, places=places, large=True)
            bold = [text for text in scene.texts if text.bold]
            longest = max(len(text.text) for text in bold)
            if longest <= 2:
                assert min(text.size_mm for text in bold) >= 14.3


def test_windows_show_all_that_happens():
    piece = example("03-long-harvest")
    for index in range(len(piece.draft.spans)):
        busy = busy_stretches(piece, index)
        shown = windows(piece, index, 16)
        for first, last in busy:
            assert any(a <= first and last <= b for a, b in shown)
        moved = (piece.order.place[index] != piece.order.place[index + 1]).sum()
        places = {p for a, b in busy for p in range(a, b + 1)}
        assert len(places) >= moved


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

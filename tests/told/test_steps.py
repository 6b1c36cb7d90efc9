"""A step is told the same on cards, in lists, in the record and on the screen, names and all."""

import pytest

from crossfell.drawings.album import Album
from crossfell.drawings.moments import now_view
from crossfell.loomside.leading import planned
from crossfell.loomside.screen import step_screen
from crossfell.papers.loom_cards import cards
from crossfell.papers.model import Table
from crossfell.papers.sheets import steps as step_sheet
from crossfell.plan.phrasebook import teller_of, voice_of, words_of
from random_drafts import written_drafts

ODD = [written.piece() for written in written_drafts(12) if written.seed % 3 == 2]


@pytest.fixture(params=ODD, ids=lambda piece: piece.draft.about.title)
def piece(request):
    return request.param


def card_texts(piece, *, large):
    for card in cards(piece, Album(), large=large)["cards"]:
        yield from card["steps"]
        yield from (card["band"] or {"steps": []})["steps"]


def test_each_card_and_each_list_has_the_sentence_of_each_step(piece):
    tell = teller_of(piece.draft)
    wanted = {str(step.number): tell.sentence(step) for step in piece.plan.steps}
    short = {str(step.number): tell.short(step) for step in piece.plan.steps}
    assert {str(row["number"]): row["text"] for row in card_texts(piece, large=False)} == wanted
    large = {str(row["number"]): row["text"] for row in card_texts(piece, large=True)}
    bands = {str(step.number) for step in piece.plan.steps if step.band}
    assert large == {n: wanted[n] if n in bands else text for n, text in short.items()}
    rows = [b.rows for b in step_sheet(piece).blocks if isinstance(b, Table)]
    assert {number: text for table in rows for number, _, text, _ in table} == wanted


def test_the_screen_and_the_record_say_it_too(piece):
    plan = planned(piece)
    tell, draft = teller_of(piece.draft), piece.draft
    for i, step in enumerate(plan.steps):
        assert plan.mark(i).text == tell.sentence(step)
        for other in (False, True):
            shown = step_screen(plan, i, other_side=other)
            words = words_of(step, voice_of(draft, behind=shown.behind))
            assert (shown.do, shown.cross, shown.lines) == (words.do, words.cross, words.lines)
            assert step.weft in "\n".join(shown.lines)
            assert step.ends in shown.cross


def test_the_picture_of_now_is_headed_by_the_last_step(piece):
    done = len(piece.plan.steps) // 2
    last = teller_of(piece.draft).sentence(piece.plan.steps[done - 1])
    assert now_view(piece, done).title == f"After step {done} of {len(piece.plan.steps)}: {last}"

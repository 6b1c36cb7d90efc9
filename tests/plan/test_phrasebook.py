"""Every action is said, every name stays whole, in every outlet; nothing is read back."""

import tomllib
from importlib.resources import files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossfell.draft.model import Adhesive
from crossfell.draft.reader import read_draft
from crossfell.plan.model import Action, Moment, Step
from crossfell.plan.own_minutes import usual_minutes
from crossfell.plan.phrase_words import WORDS, Voice
from crossfell.plan.phrasebook import phrasebook, teller_of, voice_of, words_of
from random_drafts import written_drafts
from small_piece import small_draft

NOT_STEPS = {"leg", "walk", "day"}
HARD = ["ash of roses", "tide: low", "a, b; (c) 100 %", "{who}", "{0}", 'the "dark" one', "潮 2",
        "Span 1: x. y", "3 mm to the left of its middle", "émail (mat)"]  # fmt: skip
NAMES = st.sampled_from(HARD) | st.text(st.characters(exclude_categories=("C", "Z")), min_size=1)


def test_minutes_phrasebook_and_plan_know_the_same_actions():
    assert set(usual_minutes()) - NOT_STEPS == set(Action) == set(phrasebook())


def test_every_hole_is_known_and_every_word_is_used():
    text = (files("crossfell.plan") / "phrases.toml").read_text(encoding="utf-8")
    assert tomllib.loads(text).keys() == phrasebook().keys()
    parts = [
        part
        for forms in phrasebook().values()
        for form in forms.values()
        for said in (form.sentence, form.short, form.do, form.cross, form.ear, *form.lines)
        if not isinstance(said, str)
        for part in said
    ]
    assert {hole.lower() for _, hole in parts if hole} == set(WORDS)


@pytest.fixture(scope="module")
def draft():
    return read_draft(small_draft("1 over 2", order="a*2 b*2"))


def outlets(draft, step):
    """What is said of a step: sentence, large print, screen and speech from both sides."""
    tell = teller_of(draft)
    yield tell.sentence(step)
    yield tell.short(step)
    for behind in (False, True):
        words = words_of(step, voice_of(draft, behind=behind))
        yield "\n".join([words.do, words.cross, *words.lines])


STEPS = {
    "weft": lambda name: Step(1, Action.PICK, "front", band=1, picks=3, weft=name, sheds=("up",)),
    "rod": lambda name: Step(1, Action.ROD, "front", band=1, rod=name, sheds=("up",)),
    "ends": lambda name: Step(1, Action.WIND, "bench", units=(0, 1), ends=f"9 {name}, 1 chalk"),
    "recipe": lambda name: Step(1, Action.ADHESIVE, "front", band=1, recipe=Adhesive(name=name)),
}


@pytest.mark.parametrize("what", STEPS)
@given(name=NAMES)
@settings(max_examples=60, deadline=None)
def test_a_name_is_said_whole_in_every_outlet(draft, what, name):
    said = list(outlets(draft, STEPS[what](name)))
    blank = outlets(draft, STEPS[what]("\0"))
    assert said == [text.replace("\0", name) for text in blank]
    assert all(name in text for text in said)


def test_units_of_any_name_are_said_whole_in_every_outlet():
    for written in written_drafts(12, first=0):
        piece = written.piece()
        names = piece.order.names
        for step in piece.plan.steps:
            named = step.units if step.kind in {"lay", "clear", "turn", "clear-turn"} else ()
            for text in outlets(piece.draft, step):
                assert all(names[u] in text for u in named if len(named) < 4), (written.seed, text)


def test_a_weft_is_shown_whole_on_the_screen_of_every_random_draft():
    for written in written_drafts(30):
        piece = written.piece()
        for step in piece.plan.steps:
            if step.kind is Action.PICK:
                lines = words_of(step, voice_of(piece.draft, behind=False)).lines
                assert lines == (f"band {step.band}", step.weft)
                assert step.weft in piece.draft.yarns


def test_bobbins_laid_behind_are_told_how_far_off_the_middle(draft):
    lay = Step(1, Action.CLEAR, "back", span=1, units=(0,), from_places=(1,), to_places=(2,),
               off_mm=(3.0,))  # fmt: skip
    said = "Lay the bobbin of a1 from place 4 in place 3, 3.0 mm to the left of its middle; nothing"
    assert teller_of(draft).sentence(lay).startswith(said)
    assert (
        words_of(lay, voice_of(draft, behind=False)).lines[1] == "3.0 mm to the right of its middle"
    )


def test_neighbours_off_the_middle_are_told_together_or_each(draft):
    def lines(*off):
        lay = Step(1, Action.LAY, "front", units=(0, 1), from_places=(1, 2), to_places=(3, 4),
                   off_mm=off)  # fmt: skip
        return words_of(lay, voice_of(draft, behind=False)).lines[1:]

    assert lines(2.0, 2.0) == ("2.0 mm to the right of their middle",)
    assert lines(2.0, 0.0) == ("a1 2.0 mm to the right of its middle",)
    assert lines(0.0, 0.0) == lines() == ()


def test_too_many_to_hear_are_to_be_compared(draft):
    full = Moment(row=(0, 1, 2, 3), faces=(1, 1, 1, 1))
    look = Step(1, Action.CHECK, "front", span=1, after=full)
    assert words_of(look, voice_of(draft, behind=False)).spoken == (
        "Look. From the left: slate one and two and chalk one and two."
    )
    assert words_of(look._replace(after=Moment(row=(0, 1, 2, 3) * 4, faces=full.faces)),
                    voice_of(draft, behind=False)).spoken == (
        "Look, and compare with the picture.")  # fmt: skip


def test_a_voice_says_numbers_as_it_is_dressed(draft):
    assert Voice(draft, draft.at_loom()).number(21) == "21"
    assert Voice(draft, draft.at_loom(), "aloud").number(21) == "twenty one"

"""How is a step said: on the card, in large print, on the screen, aloud?

A step is data; phrases.toml has its forms, phrase_words.py what fills their holes. What fills a
hole stays whole, whatever it is called, and nothing is ever read back out of what was said.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib.resources import files
from string import Formatter
from typing import Any

from crossfell.draft.model import Draft
from crossfell.plan.cautions import CAUTIONS
from crossfell.plan.ear import sentence
from crossfell.plan.model import Action, Step
from crossfell.plan.phrase_words import WORDS, Voice, later_lines, off_lines, room_lines

MOST_SHOWN = 8  # moves that are said one by one on the screen
MOST_HEARD = 12  # units in a row that the ear can follow; common practice, no source

Parts = tuple[tuple[str, str], ...]  # words as they stand, and the hole after them


@dataclass(frozen=True, kw_only=True)
class Phrase:
    """What is said of one action, or of one case of it."""

    sentence: Parts
    short: Parts
    do: Parts
    cross: Parts
    lines: tuple[str | Parts, ...]  # a text stands for the lines that it names
    ear: Parts


@dataclass(frozen=True, kw_only=True)
class StepWords:
    """A step in words for the screen and the ear."""

    do: str  # what to do, the largest letters
    cross: str  # over or under whom, as large; can be empty
    lines: tuple[str, ...]  # what else she must know to do it
    marks: tuple[str, ...]  # sheds, one after another: "up" and "down"
    spoken: str
    caution: str


@dataclass(frozen=True)
class Teller:
    """Says the steps of one draft, each for the side of the loom that it is done at."""

    front: Voice
    back: Voice

    def sentence(self, step: Step) -> str:
        """On the card, in the terminal, in lists."""
        return _capital(_filled(form_of(step).sentence, step, self._voice(step)))

    def short(self, step: Step) -> str:
        """On the card in large print."""
        return _capital(_filled(form_of(step).short, step, self._voice(step)))

    def _voice(self, step: Step) -> Voice:
        return self.back if step.side == "back" else self.front


def teller_of(draft: Draft) -> Teller:
    """Who says the steps of a draft."""
    return Teller(Voice(draft, draft.at_loom()), Voice(draft, draft.at_loom(behind=True)))


def voice_of(draft: Draft, *, behind: bool) -> Voice:
    """The screen of somebody in front of the loom, or behind it."""
    return Voice(draft, draft.at_loom(behind=behind), "large")


def words_of(step: Step, voice: Voice) -> StepWords:
    """A step for the screen and the ear of who stands there, wherever it is done."""
    form = form_of(step)
    return StepWords(
        do=_filled(form.do, step, voice),
        cross=_filled(form.cross, step, voice),
        lines=tuple(line for line in _lines(form, step, voice) if line),
        marks=step.sheds,
        spoken=sentence(_filled(form.ear, step, replace(voice, dress="aloud"))),
        caution=CAUTIONS[step.caution] if step.caution else "",
    )


def form_of(step: Step) -> Phrase:
    """The form of a step's action and case."""
    forms = phrasebook()[step.kind]
    return next((forms[case] for case in _cases(step) if case in forms), forms[""])


@cache
def phrasebook() -> Mapping[Action, Mapping[str, Phrase]]:
    """Forms of each action: the usual one under an empty name, and those of its cases."""
    text = (files("crossfell.plan") / "phrases.toml").read_text(encoding="utf-8")
    return {Action(name): _forms(table) for name, table in tomllib.loads(text).items()}


def _forms(table: Mapping[str, Any]) -> Mapping[str, Phrase]:
    usual = {key: value for key, value in table.items() if not isinstance(value, dict)}
    cases = {name: {**usual, **own} for name, own in table.items() if isinstance(own, dict)}
    return {name: _form(said) for name, said in {"": usual, **cases}.items()}


def _form(said: Mapping[str, Any]) -> Phrase:
    return Phrase(
        sentence=_parts(said["sentence"]),
        short=_parts(said.get("short", said["sentence"])),
        do=_parts(said["do"]),
        cross=_parts(said.get("cross", "")),
        lines=tuple(
            line[1:] if line.startswith("*") else _parts(line) for line in said.get("lines", ())
        ),
        ear=_parts(said.get("ear", said["sentence"])),
    )


def _parts(text: str) -> Parts:
    return tuple((words, hole or "") for words, hole, _, _ in Formatter().parse(text))


def _cases(step: Step) -> Iterator[str]:
    """Which of its action's cases a step can be, the most telling first."""
    if step.case:
        yield step.case
    if step.below:
        yield "below"
    shown = len(step.units) if step.kind is not Action.CHECK else _lying(step)
    most = MOST_HEARD if step.kind is Action.CHECK else MOST_SHOWN
    if not 0 < shown <= most:
        yield "many"


def _lying(step: Step) -> int:
    return 0 if step.after is None else sum(u is not None for u in step.after.row)


def _lines(form: Phrase, step: Step, voice: Voice) -> Iterator[str]:
    for line in form.lines:
        if isinstance(line, str):
            yield from _EACH[line](step, voice)
        else:
            yield _filled(line, step, voice)


_EACH = {"off": off_lines, "room": room_lines, "later": later_lines}


def _filled(parts: Parts, step: Step, voice: Voice) -> str:
    return "".join(words + (_word(hole, step, voice) if hole else "") for words, hole in parts)


def _word(hole: str, step: Step, voice: Voice) -> str:
    word = WORDS[hole.lower()](step, voice)
    return word if hole.islower() else word.upper() if hole.isupper() else _capital(word)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]

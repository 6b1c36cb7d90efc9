"""What does a line of moves say?

`parsed` turns one line into moves as they are said, whose columns count from 0 in that line;
`expand` lays them out.

    line:  (move ("," move)* ","?)?        a move is any of the forms in `kinds.py`
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from crossfell.draft.forms import NAME, Stops, Words
from crossfell.draft.kinds import KEYWORDS, KINDS, Kind, Said

_COMMA, _DIGIT = re.compile(","), re.compile(r"\d")
_BY_WORD = {kind.first_word: (kind,) for kind in KINDS if kind.first_word}
_BY_PLACES = tuple(kind for kind in KINDS if kind.parts.names[0] == "block" and not kind.first_word)
_BY_NAME = tuple(kind for kind in KINDS if kind.parts.names[0] == "name")


@dataclass(frozen=True, slots=True)
class Unread:
    """A line that is no list of moves: where it stops making sense and what could stand there."""

    column: int
    length: int
    found: str
    expected: str
    right: str = ""  # what to write there; empty where nothing is near


@lru_cache(maxsize=4096)
def parsed(line: str) -> tuple[Said, ...] | Unread:
    """Parse one line of moves (columns from 0)."""
    try:
        moves = said_in(line)
    except Stops as stop:
        return _unread(line, stop.column)
    for move in moves:
        if wrong := move.kind.wrong(move):
            start, end = move.column, move.column + move.length
            return Unread(start, end - start, line[start:end], wrong)
    return tuple(moves)


def said_in(line: str) -> list[Said]:
    """The moves of a line, whether they make sense or not. Errors: Stops."""
    words = Words(line)
    found: list[Said] = []
    while not words.at_end():
        found.append(_move(words))
        if words.at_end():
            break
        words.need(_COMMA)
    return found


def _move(words: Words) -> Said:
    start, furthest = words.next(), -1
    for kind in _kinds(words):
        words.now = start
        try:
            values = kind.parts.read(words)
        except Stops as stop:
            furthest = max(furthest, stop.column)
        else:
            return Said(kind, values, start, words.end - start)
    raise Stops(max(furthest, start))


def _kinds(words: Words) -> tuple[Kind, ...]:
    """Kinds that can begin with the next word."""
    if words.sees(_DIGIT):
        return _BY_PLACES
    return _BY_WORD.get(words.sees(NAME), _BY_NAME)


def _unread(line: str, column: int) -> Unread:
    from crossfell.draft.slips import meant_by

    guess = meant_by(line, column, KEYWORDS, _reads)
    length, found = max(len(guess.found), 1), guess.found or "the end of the line"
    return Unread(guess.column, length, found, guess.expected, guess.right)


def _reads(text: str) -> bool:
    """Whether a text is one move or more."""
    try:
        moves = said_in(text)
    except Stops:
        return False
    sound = not any(move.kind.wrong(move) for move in moves)
    return bool(moves) and sound and not {move.figure for move in moves} & set(KEYWORDS)

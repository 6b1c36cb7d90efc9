"""How is an interlaced span split into the fewest passes that can each be laid?

Crossings are numbered in the order of the word. A pass may take a crossing only when those before
it along both of its units are done, and no pass may hold a cycle. What can be done by the end of a
pass is a set of crossings; a set within another can be forgotten, for whatever finishes from the
smaller one finishes from the larger one too. So pass after pass only the largest sets are kept,
until one is everything: that is exact, unless there are too many sets. Checked: plain weave of m
through m takes m passes, and exhaustive search, tests/outside/test_layers.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from crossfell.order.relation import bits

MOST_LOOKED_AT = 60_000  # sets times crossings of a span, before first fit has to do

Parts = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, kw_only=True)
class Passes:
    """Crossings (indices into the word) of each pass, in order; `least`: no split has fewer."""

    parts: Parts
    least: int


@dataclass(frozen=True, kw_only=True)
class _Word:
    """Crossings as a pass sees them; sets of crossings and of units are bit rows."""

    n: int
    over: Sequence[int]
    under: Sequence[int]
    before: tuple[int, ...]  # of each crossing: the last ones before it along its two units


def fewest_passes(n: int, over: Sequence[int], under: Sequence[int]) -> Passes:
    """Split crossings into the fewest layable passes, proved where `least` equals their number."""
    parts = first_fit(n, over, under)
    if len(parts) <= 2:
        return Passes(parts=parts, least=len(parts))
    word = _Word(n=n, over=over, under=under, before=_before(n, over, under))
    everything = (1 << len(over)) - 1
    came_from: list[dict[int, int]] = []
    largest, left = [0], MOST_LOOKED_AT // len(over)
    while len(came_from) < len(parts) - 1:
        reached: dict[int, int] = {}
        for done in largest:
            found, tried = _largest_from(word, done, left)
            left -= tried
            if left <= 0:  # too many sets: what is proved so far is said, and first fit has to do
                return Passes(parts=parts, least=max(len(came_from) + 1, 2))
            reached.update({after: done for after in found if after not in reached})
        came_from.append(reached)
        if everything in reached:
            return Passes(parts=_parts(everything, came_from), least=len(came_from))
        largest = _not_within_another(reached)
    return Passes(parts=parts, least=len(parts))


def first_fit(n: int, over: Sequence[int], under: Sequence[int]) -> Parts:
    """Each crossing in the first pass that is free: not closing a cycle, not before one put off."""
    left = list(range(len(over)))
    passes = []
    while left:
        rows = [0] * n
        blocked = 0
        taken, put_off = [], []
        for index in left:
            top, bottom = over[index], under[index]
            free = not (blocked >> top & 1 or blocked >> bottom & 1)
            if free and not _reaches(rows, bottom, top):
                rows[top] |= 1 << bottom
                taken.append(index)
            else:
                blocked |= 1 << top | 1 << bottom
                put_off.append(index)
        passes.append(tuple(taken))
        left = put_off
    return tuple(passes)


def _reaches(rows: Sequence[int], start: int, goal: int) -> bool:
    seen = front = 1 << start
    while front:
        if front >> goal & 1:
            return True
        reached = 0
        for unit in bits(front):
            reached |= rows[unit]
        front = reached & ~seen
        seen |= reached
    return False


def _before(n: int, over: Sequence[int], under: Sequence[int]) -> tuple[int, ...]:
    last = [0] * n
    before = []
    for index, (top, bottom) in enumerate(zip(over, under, strict=True)):
        before.append(last[top] | last[bottom])
        last[top] = last[bottom] = 1 << index
    return tuple(before)


def _largest_from(word: _Word, done: int, most: int) -> tuple[list[int], int]:
    """What can be done by the end of one more pass, and how many sets (`most`) were looked at.

    A crossing that puts no new unit under another is taken at once: it never stands in the way.
    """
    found: list[int] = []
    seen: set[int] = set()
    to_try: list[tuple[int, tuple[int, ...]]] = [(done, (0,) * word.n)]
    while to_try and len(seen) < most:
        now, rows = _with_what_is_free(word, *to_try.pop())
        if now in seen:
            continue
        seen.add(now)
        more = [c for c in _ready(word, now) if not _reaches(rows, word.under[c], word.over[c])]
        if not more:
            found.append(now)
        to_try += [(now | 1 << c, _with(word, rows, c)) for c in more]
    return found, len(seen)


def _ready(word: _Word, done: int) -> list[int]:
    return [
        c for c, before in enumerate(word.before) if not done >> c & 1 and before & done == before
    ]


def _with(word: _Word, rows: tuple[int, ...], c: int) -> tuple[int, ...]:
    top = word.over[c]
    return (*rows[:top], rows[top] | 1 << word.under[c], *rows[top + 1 :])


def _with_what_is_free(
    word: _Word, done: int, rows: tuple[int, ...]
) -> tuple[int, tuple[int, ...]]:
    while True:
        free = [c for c in _ready(word, done) if _reaches(rows, word.over[c], word.under[c])]
        if not free:
            return done, rows
        for c in free:
            done |= 1 << c


def _not_within_another(sets: Iterable[int]) -> list[int]:
    kept: list[int] = []
    for one in sorted(sets, key=int.bit_count, reverse=True):
        if not any(one & other == one for other in kept):
            kept.append(one)
    return kept


def _parts(everything: int, came_from: Sequence[dict[int, int]]) -> Parts:
    parts: list[tuple[int, ...]] = []
    after = everything
    for reached in reversed(came_from):
        done = reached[after]
        parts.append(tuple(bits(after & ~done)))
        after = done
    return tuple(reversed(parts))

"""Will it hang as drawn? The one word that every picture, paper and command asks for.

It is read from the solved shape: how far the ends of the rods go aside, how far a rod tilts, which
cords carry. What comes out only in some of many pieces with lengths a little wrong is a "may".
The limits are keys of [hang] and common practice, no source.
Checked: tests/statics/test_verdict.py.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np

from crossfell.draft.model import Draft
from crossfell.statics.balance import Rig
from crossfell.statics.chance import errors_of, factors_of
from crossfell.statics.newton import Rest, rest_of
from crossfell.statics.quick import SpanHold
from crossfell.statics.rig import with_errors

AS_DRAWN, SETTLES, MOVES, TURNS_OVER, NO_REST = (
    "as drawn", "settles", "moves", "turns over", "no rest",
)  # fmt: skip
WORDS = (AS_DRAWN, SETTLES, MOVES, TURNS_OVER, NO_REST)
AGREE = 0.9  # of the pieces with errors must say the same
RUNS = 20
MOST_AT_ONCE = 400_000  # springs, in all runs together: what takes less than about a second
TIPS_RAD = np.radians(1.0)  # a piece whose mass hangs beside all that carries it
SEED = 14


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """How the piece hangs, in a word, and what stands behind it."""

    word: str  # of WORDS, with the lengths drawn
    says: str  # of WORDS, what is told: with `may` the worst that one piece in ten comes to
    may: bool
    moved_mm: float  # how far the end of a rod goes aside at most
    band: int  # number of its band
    tilt_rad: float  # greatest, of any rod
    tilted: int  # number of its band
    cause: str  # of turning over: "beside-cords", "slack-cord", "beside-units", "tilt"; or nothing
    at: int  # number of the span or cord of the cause, 0 if there is none
    runs: int  # pieces with errors that were hung; 0: too large to be hung many times at once
    error: float  # of their lengths, as a share
    shares: dict[str, float]  # of those pieces that come to each word

    @property
    def good(self) -> bool:
        """Whether it hangs as drawn, and surely."""
        return self.says == AS_DRAWN and not self.may


@dataclass(frozen=True, kw_only=True)
class _Read:
    word: str
    moved: float
    moved_at: int  # from the top
    tilt: float
    tilt_at: int
    cause: str
    at: int


def verdict_of(
    draft: Draft, rig: Rig, rest: Rest, holds: tuple[SpanHold, ...], cords: SpanHold | None
) -> Verdict:
    """Judge a piece at rest; then again with lengths a little wrong, from where it rests."""
    read = _read(draft, rig, rest, holds, cords)
    error = draft.warp.length_error if draft.warp else 0.0
    runs = RUNS if error and RUNS * rig.spans.k.size <= MOST_AT_ONCE and rest.converged else 0
    counts = Counter(
        _read(draft, rig, _wrong(draft, rig, rest, error, run), holds, cords).word
        for run in range(runs)
    )
    shares = {word: counts[word] / runs for word in WORDS if counts[word]}
    may = bool(runs) and shares.get(read.word, 0.0) < AGREE
    worst = max((w for w, share in shares.items() if share >= 1 - AGREE), key=WORDS.index,
                default=read.word)  # fmt: skip
    numbers = np.arange(1, rig.bands + 1)[draft.on_wall().downwards].tolist()
    says = max(worst, read.word, key=WORDS.index) if may else read.word
    return Verdict(word=read.word, says=says,
                   may=may, moved_mm=read.moved, band=numbers[read.moved_at], tilt_rad=read.tilt,
                   tilted=numbers[read.tilt_at], cause=read.cause, at=read.at, runs=runs,
                   error=error, shares=shares)  # fmt: skip


def _wrong(draft: Draft, rig: Rig, rest: Rest, error: float, run: int) -> Rest:
    longer = errors_of(factors_of(draft), rig.bands - 1, error, (SEED, run))
    return rest_of(with_errors(rig, longer), rest.pose)


def _read(
    draft: Draft, rig: Rig, rest: Rest, holds: tuple[SpanHold, ...], cords: SpanHold | None
) -> _Read:
    half = max(float(np.abs(rig.spans.above_x).max()), float(np.abs(rig.spans.below_x).max()))
    tilts = np.abs(rest.pose[:, 2])
    moved = np.abs(rest.pose[:, 0]) + tilts * half
    furthest, steepest = int(moved.argmax()), int(tilts.argmax())
    tilt = float(tilts[steepest])
    cause, at = _turns_over(draft, rig, rest, tilt, (holds, cords))
    hang = draft.hang
    small = max(hang.as_drawn_mm, draft.pitch_mm / 10)
    word = (
        NO_REST if not rest.converged
        else TURNS_OVER if cause
        else AS_DRAWN if moved[furthest] <= small
        else SETTLES if moved[furthest] <= max(hang.moves_mm, small)
        else MOVES
    )  # fmt: skip
    return _Read(word=word, moved=float(moved[furthest]), moved_at=furthest, tilt=tilt,
                 tilt_at=steepest, cause=cause, at=at)  # fmt: skip


def _turns_over(
    draft: Draft, rig: Rig, rest: Rest, tilt: float,
    quick: tuple[tuple[SpanHold, ...], SpanHold | None],
) -> tuple[str, int]:  # fmt: skip
    """Why it turns over, and at which span or cord; nothing where it does not."""
    holds, cords = quick
    tips = tilt > TIPS_RAD
    if cords and cords.beside and tips:
        return "beside-cords", 0
    if rig.cords is not None and rig.cords.shape[1] > 1:
        pull = rest.tension_n[1][0]
        if int((pull > 0).sum()) < 2:
            return "slack-cord", int(pull.argmin()) + 1
    beside = next((hold.number for hold in holds if hold.beside), 0)
    if beside and tips:
        return "beside-units", beside
    return ("tilt", 0) if tilt > draft.hang.turns_over_rad else ("", 0)

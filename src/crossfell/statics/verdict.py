"""Will it hang as drawn? The one word that every picture, paper and command asks for.

It is read from the solved shape: how far the ends of the rods go aside, how far a rod tilts, which
cords carry. What comes out only in some of many pieces with lengths a little wrong is a "may": such
pieces are hung where the word hangs on them, and all of them only where their number is told.
The limits are keys of [hang] and common practice, no source.
Checked: tests/statics/test_verdict.py, against the word that all pieces with errors come to.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from crossfell.draft.model import Draft
from crossfell.statics.balance import Rig
from crossfell.statics.chance import errors_of, factors_of
from crossfell.statics.newton import Rest, rest_of
from crossfell.statics.quick import SpanHold
from crossfell.statics.rig import with_errors
from crossfell.statics.sensitive import half_width_mm, sensitive_of
from crossfell.statics.springs import Floats

AS_DRAWN, SETTLES, MOVES, TURNS_OVER, NO_REST = (
    "as drawn", "settles", "moves", "turns over", "no rest",
)  # fmt: skip
WORDS = (AS_DRAWN, SETTLES, MOVES, TURNS_OVER, NO_REST)
AGREE = 0.9  # of the pieces with errors must say the same
RUNS = 20
MOST_AT_ONCE = 400_000  # springs, in all runs together: what takes less than about a second
AT_LEAST = 4.5  # standard deviations to first order that a limit lies off: then none need be hung
LOOK = 4  # pieces that are hung first, and settle it
FAR = 2.0  # where all of them lie so many times off each limit
CARRIES = 0.01  # of the weight: a cord that takes as much does not go slack by errors
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
    trials: Trials = field(repr=False)

    @property
    def runs(self) -> int:
        """Pieces with errors that can be hung; 0: too large to be hung many times at once."""
        return self.trials.runs

    @property
    def error(self) -> float:
        """Of their lengths, as a share."""
        return self.trials.error

    @property
    def shares(self) -> dict[str, float]:
        """Share of those pieces that come to each word; the first who asks has all of them hung."""
        return self.trials.shares

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


@dataclass(frozen=True, kw_only=True)
class Scene:
    """What is judged, and by what."""

    draft: Draft
    rig: Rig
    holds: tuple[SpanHold, ...]
    cords: SpanHold | None

    @property
    def small_mm(self) -> float:
        """With no more it hangs as drawn."""
        return max(self.draft.hang.as_drawn_mm, self.draft.pitch_mm / 10)

    @property
    def large_mm(self) -> float:
        """With no more it settles."""
        return max(self.draft.hang.moves_mm, self.small_mm)


class Trials:
    """Pieces with lengths a little wrong, from where the drawn one rests; each hung once."""

    def __init__(self, scene: Scene, rest: Rest) -> None:
        self._scene, self._rest, self._hung = scene, rest, list[_Read]()
        warp, springs = scene.draft.warp, scene.rig.spans.k.size
        self.error = warp.length_error if warp else 0.0
        few = RUNS * springs <= MOST_AT_ONCE
        self.runs = RUNS if self.error and few and rest.converged else 0

    @property
    def hung(self) -> int:
        """How many were hung so far."""
        return len(self._hung)

    @cached_property
    def factors(self) -> Floats:
        """How errors of ends add up to those of fibres."""
        return factors_of(self._scene.draft)

    @cached_property
    def shares(self) -> dict[str, float]:
        """Share of the pieces that come to each word."""
        counts = Counter(read.word for read in self.first(self.runs))
        return {word: counts[word] / self.runs for word in WORDS if counts[word]}

    def first(self, runs: int) -> list[_Read]:
        """How the first so many hang."""
        rig = self._scene.rig
        for run in range(len(self._hung), runs):
            longer = errors_of(self.factors, rig.bands - 1, self.error, (SEED, run))
            rest = rest_of(with_errors(rig, longer), self._rest.pose)
            self._hung.append(_read(self._scene, rest))
        return self._hung[:runs]


def verdict_of(
    draft: Draft, rig: Rig, rest: Rest, holds: tuple[SpanHold, ...], cords: SpanHold | None
) -> Verdict:
    """Judge a piece at rest; then, where they can change the word, with lengths a little wrong."""
    scene = Scene(draft=draft, rig=rig, holds=holds, cords=cords)
    read, trials = _read(scene, rest), Trials(scene, rest)
    says, may = read.word, False
    if trials.runs and not (_firm(scene, rest, read, trials) or _clear(scene, read, trials)):
        may = trials.shares.get(read.word, 0.0) < AGREE
        likely = [word for word, share in trials.shares.items() if share >= 1 - AGREE]
        says = max([read.word, *likely], key=WORDS.index) if may else read.word
    numbers = np.arange(1, rig.bands + 1)[draft.on_wall().downwards].tolist()
    return Verdict(word=read.word, says=says, may=may,
                   moved_mm=read.moved, band=numbers[read.moved_at], tilt_rad=read.tilt,
                   tilted=numbers[read.tilt_at], cause=read.cause, at=read.at,
                   trials=trials)  # fmt: skip


def _firm(scene: Scene, rest: Rest, read: _Read, trials: Trials) -> bool:
    """Whether errors are too small to move what hangs as drawn beyond any limit."""
    if read.word != AS_DRAWN or _second_cord(scene, rest) < CARRIES:
        return False
    answer = sensitive_of(scene.rig, rest, trials.factors)
    if answer is None:
        return False
    off = AT_LEAST * trials.error
    tips = min(TIPS_RAD, scene.draft.hang.turns_over_rad)
    return (read.moved + off * answer.moved_mm <= scene.small_mm
            and read.tilt + off * answer.tilt_rad <= tips)  # fmt: skip


def _second_cord(scene: Scene, rest: Rest) -> float:
    """What the cord that carries second most takes, as a share of the weight; 1 where none must."""
    if scene.rig.cords is None or scene.rig.cords.shape[1] < 2:
        return 1.0
    return float(np.sort(rest.tension_n[1][0])[-2]) / scene.rig.total_n


def _clear(scene: Scene, read: _Read, trials: Trials) -> bool:
    """Whether the first few with errors all say the same, far from every limit."""
    some = trials.first(LOOK)
    tilts = (TIPS_RAD, scene.draft.hang.turns_over_rad)
    return all(
        one.word == read.word
        and all(_far(one.moved, limit) for limit in (scene.small_mm, scene.large_mm))
        and all(_far(one.tilt, limit) for limit in tilts)
        for one in some
    )


def _far(value: float, limit: float) -> bool:
    return FAR * value <= limit or value >= FAR * limit


def _read(scene: Scene, rest: Rest) -> _Read:
    tilts = np.abs(rest.pose[:, 2])
    moved = np.abs(rest.pose[:, 0]) + tilts * half_width_mm(scene.rig)
    furthest, steepest = int(moved.argmax()), int(tilts.argmax())
    tilt = float(tilts[steepest])
    cause, at = _turns_over(scene, rest, tilt)
    word = (
        NO_REST if not rest.converged
        else TURNS_OVER if cause
        else AS_DRAWN if moved[furthest] <= scene.small_mm
        else SETTLES if moved[furthest] <= scene.large_mm
        else MOVES
    )  # fmt: skip
    return _Read(word=word, moved=float(moved[furthest]), moved_at=furthest, tilt=tilt,
                 tilt_at=steepest, cause=cause, at=at)  # fmt: skip


def _turns_over(scene: Scene, rest: Rest, tilt: float) -> tuple[str, int]:
    """Why it turns over, and at which span or cord; nothing where it does not."""
    tips, cords = tilt > TIPS_RAD, scene.rig.cords
    if scene.cords and scene.cords.beside and tips:
        return "beside-cords", 0
    if cords is not None and cords.shape[1] > 1:
        pull = rest.tension_n[1][0]
        if int((pull > 0).sum()) < 2:
            return "slack-cord", int(pull.argmin()) + 1
    beside = next((hold.number for hold in scene.holds if hold.beside), 0)
    if beside and tips:
        return "beside-units", beside
    return ("tilt", 0) if tilt > scene.draft.hang.turns_over_rad else ("", 0)

"""What is a plan made of?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import NamedTuple

from crossfell.draft.model import Adhesive


@dataclass(frozen=True, kw_only=True)
class Moment:
    """What the batten looks like: to compare with the loom."""

    row: tuple[int | None, ...]  # [places] unit in each place, from 1; None where it is empty
    faces: tuple[int, ...]  # [units] 1 forward, -1 back


class Action(StrEnum):
    """What a step is; minutes.toml says how long one takes, phrases.toml how it is said."""

    WIND = "wind"
    THREAD = "thread"
    HANG = "hang"
    SAMPLER = "sampler"
    PICK = "pick"
    ROD = "rod"
    ADHESIVE = "adhesive"
    DRAW = "draw"
    LEVEL = "level"
    WEIGHTS_OFF = "weights-off"
    OPEN = "open"
    LIFT = "lift"
    LAY = "lay"
    TURN = "turn"
    SHIFT = "shift"
    CHECK = "check"
    CLOSE = "close"
    CLEAR_LIFT = "clear-lift"
    CLEAR = "clear"
    CLEAR_TURN = "clear-turn"
    CLEAR_SHIFT = "clear-shift"
    WEIGHTS_ON = "weights-on"
    LET_OFF = "let-off"
    CLAMP = "clamp"
    UNCHAIN = "unchain"
    UNCLAMP = "unclamp"
    CUT_OUT = "cut-out"
    CUT_DOWN = "cut-down"
    FINISH = "finish"


class Step(NamedTuple):
    """One thing to do, as data; phrasebook.py says it.

    Places count from the weaver's left, always; offsets to her right are positive.
    """

    number: int
    kind: Action
    side: str  # "bench", "front" or "back": where she stands
    span: int | None = None  # span it belongs to, from 1
    band: int | None = None  # band it belongs to, from 1
    case: str = ""  # which of its action's cases it is, in phrases.toml
    count: int = 1  # type: ignore[assignment]  # how many of the kind: bobbins, picks, windows
    minutes: float = 0.0
    not_before_min: float = 0.0  # since the step before it: drying
    may_stop: bool = False  # a good place to end the day after this step
    can_wait: bool = False  # other steps may come first
    caution: str = ""  # key of cautions.CAUTIONS
    units: tuple[int, ...] = ()  # units that it handles
    from_places: tuple[int, ...] = ()  # parallel to `units`
    to_places: tuple[int, ...] = ()  # parallel to `units`
    off_mm: tuple[float, ...] = ()  # parallel to `units`: from the middle of those places
    over: tuple[int, ...] = ()  # units in place that it is laid over
    under: tuple[int, ...] = ()  # units in place that it is laid under
    crossed: tuple[tuple[int, ...], ...] = ()  # the same, run by run of neighbours
    later_over: tuple[int, ...] = ()  # units still lifted that will come over it
    later_under: tuple[int, ...] = ()  # units still lifted that will come under it
    below: bool = False  # lifted out below the others, laid from below
    half_turns: int = 0  # right is +1, as seen from the weaver's seat
    part: tuple[int, int] | None = None  # pass so many of so many
    windows: tuple[tuple[int, int], ...] = ()  # first and last place of each hand of weights
    sheds: tuple[str, ...] = ()  # "up" or "down", one for each pick
    picks: int = 0
    weft: str = ""  # its yarn
    rod: str = ""  # its material and diameter
    length_mm: float = 0.0  # to wind, to draw, to let back, of the rod
    ends: str = ""  # on each bobbin, from the left
    recipe: Adhesive | None = None
    after: Moment | None = (
        None  # how the strips lie when it is done: of a look, a turn, the hanging
    )


@dataclass(frozen=True, kw_only=True)
class Times:
    """Minutes of work, without drying: as usual, and a plausible range."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Day:
    """One day's work: steps first to last, by number."""

    first: int
    last: int
    work_min: float
    wait_min: float  # drying that nothing else fills


LAID_ASIDE = "laid aside"  # strips are lifted right out of the open batten and laid back
PASSED_IN_PLACE = "passed in place"  # hands of strips pass their neighbours, each pair once


@dataclass(frozen=True, kw_only=True)
class Handling:
    """What one span takes in the hand, with floors: no plan of this model has less.

    Laid aside: fewest strips, of those plans fewest hands, of those fewest weight windows (the
    floors of hands and windows hold among the plans with as few of the aim before). Passed in
    place: the least effort, 3 for each hand and 1 for each strip that it lifts.
    """

    span: int  # number
    model: str  # LAID_ASIDE or PASSED_IN_PLACE
    passes: int
    passes_least: int
    lifted: int  # strips, counted again in each pass
    lifted_least: int
    hands: int  # lays: neighbours that move as one
    hands_least: int
    windows: int  # of weights, off and on together
    windows_least: int
    effort: int
    effort_least: int

    @property
    def proved(self) -> bool:
        """Whether nothing is left to gain in this model."""
        if self.model == PASSED_IN_PLACE:
            return self.effort == self.effort_least
        return (self.lifted, self.hands, self.windows) == (
            self.lifted_least,
            self.hands_least,
            self.windows_least,
        )

    @property
    def says(self) -> str:
        """It in one sentence."""
        what = (
            f"{_count(self.lifted, 'strip')} lifted in {_count(self.hands, 'hand')}, "
            f"{_count(self.windows, 'weight window')}"
        )
        if self.model == PASSED_IN_PLACE:
            least = "the least effort" if self.proved else self._effort_floor
            return f"{what}; nothing is laid aside, each pair passes once: {least}"
        if self.proved:
            return f"{what}: the least there is"
        floors = (
            (self.lifted, self.lifted_least, "strip"),
            (self.hands, self.hands_least, "hand"),
            (self.windows, self.windows_least, "weight window"),
        )
        open_ = [f"{_count(least, word)}" for now, least, word in floors if now != least]
        return f"{what}; not proved least: no plan does with fewer than {' or '.join(open_)}"

    @property
    def _effort_floor(self) -> str:
        more = self.effort / max(self.effort_least, 1) - 1
        return f"not proved least, at most {more:.0%} above it"


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


@dataclass(frozen=True, kw_only=True)
class Rehearsed:
    """What the rehearsal of a plan went through: its steps, and what the order kernel compared."""

    steps: int
    spans: int  # spans whose front braid is that of the draft and whose back is clear
    letters: int  # crossings compared, front and back


@dataclass(frozen=True, kw_only=True)
class Plan:
    """All steps in order, and what they come to."""

    steps: tuple[Step, ...]
    handled: int  # strips lifted, over the whole piece
    hands: int = 0  # lays: neighbours that move as one
    windows: int = 0  # hands of weights taken off or hung again
    handling: tuple[Handling, ...] = ()  # of each span in which something moves
    minutes: float  # at the loom and the bench, without drying
    walks: int  # between front and back
    walks_needed: int = 0  # no plan does with fewer: two goes to the back for a span that moves
    rehearsed: Rehearsed | None = None
    times: Times = Times(low=0.0, likely=0.0, high=0.0)
    span_times: Mapping[int, Times] = field(default_factory=lambda: MappingProxyType({}))
    days: tuple[Day, ...] = ()

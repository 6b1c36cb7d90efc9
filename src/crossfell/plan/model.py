"""What is a plan made of?"""

from __future__ import annotations

import math
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
    CROSS = "cross"
    CARRY = "carry"
    ROLL = "roll"
    TURN = "turn"
    SHIFT = "shift"
    CHECK = "check"
    CLOSE = "close"
    CLEAR_LIFT = "clear-lift"
    CLEAR = "clear"
    CLEAR_CROSS = "clear-cross"
    CLEAR_CARRY = "clear-carry"
    CLEAR_ROLL = "clear-roll"
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


# What moves strips in front of the reed, and the same with bobbins behind it.
WITH_STRIPS = frozenset({"lift", "lay", "cross", "carry", "roll", "shift", "turn"})
WITH_BOBBINS = frozenset(
    {"clear-lift", "clear", "clear-cross", "clear-carry", "clear-roll", "clear-shift", "clear-turn"}
)


class Along(NamedTuple):
    """A strip that makes room: it goes along, and passes nobody that lies in the row."""

    unit: int
    start: int  # place
    end: int
    off_mm: float = 0.0  # from the middle of that place


class Leg(NamedTuple):
    """One stretch of a carry: past these neighbours, all on one side, in one direction."""

    over: bool
    right: bool  # to the weaver's right
    passed: tuple[int, ...]  # in the order in which they are passed


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
    face: int = 1  # of what is turned, when it is done: 1 forward, -1 back
    along: tuple[Along, ...] = ()  # who makes room for it
    legs: tuple[Leg, ...] = ()  # of a carry
    windows: tuple[tuple[int, int], ...] = ()  # first and last place of each hand of weights
    sheds: tuple[str, ...] = ()  # "up" or "down", one for each pick
    picks: int = 0
    weft: str = ""  # its yarn
    rod: str = ""  # its material and diameter
    length_mm: float = 0.0  # to wind, to draw, to let back, of the rod
    ends: str = ""  # on each bobbin, from the left
    recipe: Adhesive | None = None
    after: Moment | None = None  # how the strips lie when it is done: of a look, of the hanging

    @property
    def moving(self) -> tuple[int, ...]:
        """Units that it handles, and those that make room."""
        return (*self.units, *(along.unit for along in self.along))


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


LAID_ASIDE = "laid aside"  # strips can hang aside, above or below the batten
CARRIED = "carried"  # nothing can hang aside: hands are carried through the row, one by one


@dataclass(frozen=True, kw_only=True)
class Handling:
    """What one span takes in the hand, and what no way of making it takes less of.

    Of two strips that cross one leaves the row, so at least all but the most that need not cross
    each other do; the floor of minutes is what so many strips take in full hands. What is rolled
    is one motion, and not counted as lifted.
    """

    span: int  # number
    model: str  # LAID_ASIDE or CARRIED
    passes: int
    passes_least: int
    lifted: int  # strips, counted again in each pass
    lifted_least: int
    hands: int  # strips that leave the row and come back as one
    windows: int  # of weights, off and on together
    windows_least: int
    loose: int  # most strips out of the row at once
    loose_limit: int  # as many as she can hold, or hang aside, in their order
    loose_proved: bool  # no order of these hands leaves fewer loose
    minutes: float  # of hands, slides, turns and weights, in front and behind
    minutes_least: float

    @property
    def proved(self) -> bool:
        """Whether no way lifts fewer strips, nor any order of these hands leaves fewer loose."""
        return self.lifted == self.lifted_least and self.loose_proved

    @property
    def says(self) -> str:
        """It in one sentence."""
        what = (
            f"{_count(self.lifted, 'strip')} lifted in {_count(self.hands, 'hand')}, "
            f"at most {self.loose} loose at once, {_count(self.windows, 'weight window')}, "
            f"{self.minutes:.0f} min"
        )
        floors = [f"no way lifts fewer than {_count(self.lifted_least, 'strip')}"]
        if self.minutes_least < self.minutes:
            floors.append(f"or takes less than {math.floor(self.minutes_least)} min")
        if self.loose > self.loose_limit:
            floors.append(f"; more loose than {self.loose_limit}, which is quicker than one by one")
        return f"{what}; {' '.join(floors).replace(' ;', ';')}"


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
    hands: int = 0  # strips that leave the row and come back as one
    windows: int = 0  # hands of weights taken off or hung again
    handling: tuple[Handling, ...] = ()  # of each span in which something moves
    minutes: float  # at the loom and the bench, without drying
    walks: int  # between front and back
    walks_needed: int = 0  # no plan does with fewer: two goes to the back for a span that moves
    rehearsed: Rehearsed | None = None
    times: Times = Times(low=0.0, likely=0.0, high=0.0)
    span_times: Mapping[int, Times] = field(default_factory=lambda: MappingProxyType({}))
    days: tuple[Day, ...] = ()

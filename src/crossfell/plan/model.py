"""What is a plan made of?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType


@dataclass(frozen=True, kw_only=True)
class Moment:
    """What the batten looks like: to compare with the loom."""

    row: tuple[int | None, ...]  # [places] unit in each place, from 1; None where it is empty
    faces: tuple[int, ...]  # [units] 1 forward, -1 back


@dataclass(frozen=True, kw_only=True)
class Step:
    """One thing to do, as one plain sentence.

    Places in `text` and `spoken` count from the left of who stands there; those in the other
    fields count from the weaver's left, always.
    """

    number: int
    span: int | None  # span it belongs to, from 1
    band: int | None  # band it belongs to, from 1
    side: str  # "bench", "front" or "back": where she stands
    kind: str  # what it is, a key of minutes.toml
    text: str
    spoken: str = ""  # the same for the ear, short
    count: int = 1  # how many of the kind: bobbins, picks, windows
    minutes: float = 0.0
    not_before_min: float = 0.0  # since the step before it: drying
    may_stop: bool = False  # a good place to end the day after this step
    can_wait: bool = False  # other steps may come first
    caution: str = ""  # key of cautions.CAUTIONS
    units: tuple[int, ...] = ()  # units that it handles
    from_places: tuple[int, ...] = ()  # parallel to `units`
    to_places: tuple[int, ...] = ()  # parallel to `units`
    over: tuple[int, ...] = ()  # units in place that it is laid over
    under: tuple[int, ...] = ()  # units in place that it is laid under
    below: bool = False  # lifted out below the others, laid from below
    half_turns: int = 0  # right is +1, as seen from the weaver's seat
    sheds: tuple[str, ...] = ()  # "up" or "down", one for each pick
    windows: tuple[tuple[int, int], ...] = ()  # first and last place of each hand of weights
    after: Moment | None = None  # what the batten looks like when it is done

    @property
    def view(self) -> str:
        """From which side its sentence counts places."""
        return "behind" if self.side == "back" else "front"


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
    minutes: float  # at the loom and the bench, without drying
    walks: int  # between front and back
    walks_needed: int = 0  # no plan does with fewer: two goes to the back for a span that moves
    rehearsed: Rehearsed | None = None
    times: Times = Times(low=0.0, likely=0.0, high=0.0)
    span_times: Mapping[int, Times] = field(default_factory=lambda: MappingProxyType({}))
    days: tuple[Day, ...] = ()

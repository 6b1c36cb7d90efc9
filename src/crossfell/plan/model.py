"""What is a plan made of?"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Step:
    """One thing to do, as one plain sentence."""

    number: int
    span: int | None  # span it belongs to, from 1
    band: int | None  # band it belongs to, from 1
    side: str  # "bench", "front" or "back": where she stands
    kind: str  # what it is, a key of minutes.toml
    text: str
    count: int = 1  # how many of the kind: bobbins, picks, windows
    minutes: float = 0.0
    not_before_min: float = 0.0  # since the step before it: drying
    may_stop: bool = False  # a good place to end the day after this step
    caution: str = ""  # key of cautions.CAUTIONS


@dataclass(frozen=True, kw_only=True)
class Plan:
    """All steps in order, and what they come to."""

    steps: tuple[Step, ...]
    handled: int  # strips lifted, over the whole piece
    minutes: float  # at the loom and the bench, without drying
    walks: int  # between front and back

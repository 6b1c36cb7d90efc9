"""What does she see on the batten, and behind the reed, before and after each step?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from crossfell.order.batten import Batten, Lying
from crossfell.plan.following import follow
from crossfell.plan.model import Step


@dataclass(frozen=True, kw_only=True)
class Sight:
    """How units lie, in places from the weaver's left."""

    strips: Lying
    bobbins: Lying

    def row(self, *, behind: bool) -> Lying:
        """Strips, or bobbins."""
        return self.bobbins if behind else self.strips


def sights_from(batten: Batten, steps: Sequence[Step]) -> tuple[Sight, ...]:
    """One sight before each step, and one after the last; the batten then stands as after it.

    Errors: CannotLie, which is our fault: steps are rehearsed.
    """
    sights = [_seen(batten)]
    for step in steps:
        follow(batten, step)
        sights.append(_seen(batten))
    return tuple(sights)


def _seen(batten: Batten) -> Sight:
    return Sight(strips=batten.strips.lying, bobbins=batten.bobbins.lying)

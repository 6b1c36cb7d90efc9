"""What happens to a row of strands when some are lifted out and laid back?

One row stands for the strips in the batten, another for the bobbins behind it. A strand is in its
place, or held above all others, or held below them all. Every lay says which generators it adds
to the braid on its far side; generators count strands from the left, + when the left one is over.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass


class NotPossible(Exception):  # noqa: N818 - it is a sentence, not a fault by itself
    """What was asked cannot be done with strands; the sentence says why."""


@dataclass(frozen=True, kw_only=True)
class OneLay:
    """What one lay did."""

    letters: tuple[int, ...]
    over: frozenset[
        int
    ]  # strands in place that it lies over, on their other side since its lifting
    under: frozenset[int]


class Strands:
    """Strands from the left, in their places or held."""

    def __init__(self, places: Sequence[int], off_mm: Sequence[float] = ()) -> None:
        self.place: dict[int, int] = dict(enumerate(places))
        self.off_mm = list(off_mm) or [0.0] * len(places)  # right of the middle of its place
        self.order = sorted(self.place, key=self.place.__getitem__)
        self.held: dict[int, bool] = {}  # strand: whether it is held below
        self._left_of: dict[int, frozenset[int]] = {}  # of those held: who lay left of it then
        self._taken = set(places)

    def lift(self, unit: int, *, below: bool) -> None:
        """Take a strand out, straight up or straight down: nothing crosses."""
        if unit in self.held:
            raise NotPossible("it is already lifted")
        self.held[unit] = below
        self._left_of[unit] = frozenset(self.order[: self.order.index(unit)])
        self._taken.remove(self.place.pop(unit))

    def slide(self, targets: Mapping[int, int], off_mm: Mapping[int, float]) -> None:
        """Move strands sideways, all at once; none may pass another that is in place."""
        if any(unit in self.held for unit in targets):
            raise NotPossible("what is lifted cannot be moved along")
        self.stand(targets, off_mm)

    def carry(
        self, units: Sequence[int], passed: Iterable[tuple[bool, bool, int]]
    ) -> tuple[int, ...]:
        """Take neighbours past others: (over, to the right, strand), one after another."""
        letters = []
        for over, right, other in passed:
            for unit in reversed(units) if right else units:
                at = self.order.index(unit)
                left = at if right else at - 1
                if left < 0 or {unit, other} != set(self.order[left : left + 2]):
                    raise NotPossible("somebody else lies beside it")
                letters.append(left + 1 if over == right else -(left + 1))
                self.order[left : left + 2] = self.order[left : left + 2][::-1]
        return tuple(letters)

    def roll(self, units: Sequence[int], half_turns: int) -> tuple[int, ...]:
        """Turn neighbours over as one, again and again: each time their order reverses."""
        letters: list[int] = []
        sign, start = (1 if half_turns > 0 else -1), self.order.index(units[0])
        if self.order[start : start + len(units)] != list(units):
            raise NotPossible("others lie between")
        for _ in range(abs(half_turns)):
            for width in range(len(units) - 1, 0, -1):
                letters += [sign * (start + 1 + i) for i in range(width)]
            block = self.order[start : start + len(units)]
            self.order[start : start + len(units)] = block[::-1]
        return tuple(letters)

    def stand(self, places: Mapping[int, int], off_mm: Mapping[int, float]) -> None:
        """Put strands down where they have come to, so far off the middle, all at once."""
        after = {**self.place, **places}
        row = [after[u] for u in self.order if u in after]
        if any(left >= right for left, right in itertools.pairwise(row)):
            raise NotPossible("it would pass another, or lie on it")
        self.place, self._taken = after, set(row)
        for unit in places:
            self.off_mm[unit] = off_mm.get(unit, 0.0)

    def lay(self, unit: int, to_place: int, off_mm: float = 0.0) -> OneLay:
        """Lay a held strand in an empty place, so far off its middle."""
        if unit not in self.held:
            raise NotPossible("it is not lifted")
        if to_place in self._taken:
            raise NotPossible(f"place {to_place} is not empty")
        below = self.held.pop(unit)
        rank = self.order.index(unit)
        rest = self.order[:rank] + self.order[rank + 1 :]
        target = self._rank_in(rest, rank, to_place)
        letters = [
            at + 1 if self._is_over(below, rest[at]) == (target > rank) else -(at + 1)
            for at in (range(rank, target) if target > rank else reversed(range(target, rank)))
        ]
        self.order = [*rest[:target], unit, *rest[target:]]
        was_left, is_left = self._left_of.pop(unit), set(rest[:target])
        crossed = frozenset(u for u in self.place if (u in was_left) != (u in is_left))
        self.place[unit], self.off_mm[unit] = to_place, off_mm
        self._taken.add(to_place)
        none: frozenset[int] = frozenset()
        return OneLay(
            letters=tuple(letters),
            over=none if below else crossed,
            under=crossed if below else none,
        )

    def _rank_in(self, rest: Sequence[int], rank: int, to_place: int) -> int:
        """The nearest rank between its new neighbours; past what is held it need not go."""
        low, high = 0, len(rest)
        for at, other in enumerate(rest):
            if other in self.place:
                if self.place[other] < to_place:
                    low = at + 1
                else:
                    high = at
                    break
        return min(max(rank, low), high)

    def _is_over(self, below: bool, other: int) -> bool:
        """Whether a strand being laid goes over another: held ones stay above all, or below all."""
        return self.held.get(other, not below)

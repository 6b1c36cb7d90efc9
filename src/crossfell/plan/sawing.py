"""What is there to cut, in whole numbers, and how is it cut?"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Sawing:
    """A cutting task in whole millionths of a mm: what the search works on."""

    sizes: tuple[int, ...]  # longest first, each with one kerf
    demand: tuple[int, ...]
    rooms: tuple[int, ...]  # of each kind of bar, with one kerf: sold ones first, then off-cuts
    costs: tuple[int, ...]  # length bought with each; 0 for an off-cut
    limits: tuple[int | None, ...]  # how many there are; None for bars that are sold

    def holds(self, kind: int, size: int) -> int:
        """How many pieces of one size a bar gives."""
        return min(self.rooms[kind] // self.sizes[size], self.demand[size])


@dataclass(frozen=True, kw_only=True)
class Sawn:
    """An answer to a task: (kind of bar, pieces of each size), how often; a floor for the cost."""

    patterns: tuple[tuple[int, tuple[int, ...], int], ...]
    least: int

"""Which units can stay in place while the rest of a span is lifted out?

A set none of which lies over another, directly or through others: an antichain of the closed
relation. The heaviest one is what the lightest vertex cover of the relation's bipartite graph
leaves; that cover is a smallest cut, found by augmenting a flow.
Source: R. P. Dilworth, Ann. of Math. 51 (1950) 161-166; D. König (1931); for weights, L. Ford and
D. Fulkerson, Flows in Networks (1962) (all from memory).
Checked: networkx and exhaustive search, tests/outside/test_layers.py.
"""

from __future__ import annotations

from collections.abc import Sequence

from crossfell.order.relation import bits, first_bit


def antichain_of(below: Sequence[int], weights: Sequence[int] = ()) -> tuple[int, ...]:
    """Units of a heaviest antichain; `below` are the closed bit rows, weights whole and positive.

    Without weights each unit weighs 1, and the antichain is a largest one.
    """
    flow = _Flow(below, weights or (1,) * len(below))
    tops, bottoms = flow.reached()
    return tuple(u for u in range(len(below)) if tops >> u & 1 and not bottoms >> u & 1)


class _Flow:
    """A largest flow from each unit as upper to units as lower, none above its weight."""

    def __init__(self, below: Sequence[int], weights: Sequence[int]) -> None:
        self.below = below
        self.top_left = list(weights)
        self.bottom_left = list(weights)
        self.into: list[dict[int, int]] = [{} for _ in below]  # [bottom] top: how much
        self._start()
        for top in range(len(below)):
            while self.top_left[top] and self._augment(top):
                pass

    def _start(self) -> None:
        """A greedy start takes most of it."""
        open_ = (1 << len(self.below)) - 1
        for top, row in enumerate(self.below):
            while self.top_left[top] and row & open_:
                bottom = first_bit(row & open_)
                amount = min(self.top_left[top], self.bottom_left[bottom])
                self._push(top, bottom, amount)
                self.top_left[top] -= amount
                self.bottom_left[bottom] -= amount
                if not self.bottom_left[bottom]:
                    open_ &= ~(1 << bottom)

    def _push(self, top: int, bottom: int, amount: int) -> None:
        self.into[bottom][top] = self.into[bottom].get(top, 0) + amount

    def _augment(self, start: int) -> bool:
        came_from: dict[int, int] = {}  # bottom: the top from which it was reached
        back: dict[int, int] = {}  # top: the bottom whose flow is taken back
        seen_bottoms, seen_tops = 0, 1 << start
        queue = [start]
        for top in queue:
            for bottom in bits(self.below[top] & ~seen_bottoms):
                seen_bottoms |= 1 << bottom
                came_from[bottom] = top
                if self.bottom_left[bottom]:
                    self._send(start, bottom, came_from, back)
                    return True
                for upper, amount in self.into[bottom].items():
                    if amount and not seen_tops >> upper & 1:
                        seen_tops |= 1 << upper
                        back[upper] = bottom
                        queue.append(upper)
        return False

    def _send(self, start: int, end: int, came_from: dict[int, int], back: dict[int, int]) -> None:
        amount = min(self.top_left[start], self.bottom_left[end])
        bottom = end
        while (top := came_from[bottom]) != start:
            bottom = back[top]
            amount = min(amount, self.into[bottom][top])
        self.top_left[start] -= amount
        self.bottom_left[end] -= amount
        bottom = end
        while True:
            top = came_from[bottom]
            self._push(top, bottom, amount)
            if top == start:
                return
            bottom = back[top]
            self.into[bottom][top] -= amount

    def reached(self) -> tuple[int, int]:
        """Bit rows of the tops and bottoms that more flow could still reach."""
        tops = sum(1 << u for u, left in enumerate(self.top_left) if left)
        bottoms, queue = 0, bits(tops)
        for top in queue:
            for bottom in bits(self.below[top] & ~bottoms):
                bottoms |= 1 << bottom
                for upper, amount in self.into[bottom].items():
                    if amount and not tops >> upper & 1:
                        tops |= 1 << upper
                        queue.append(upper)
        return tops, bottoms

"""In which order are hands of strips taken out and laid, so that few are loose at once?

One touch: each hand is taken once and laid once, in its final place; strips that stay slide when
their way is free. Items are hands and sliders, numbered from the left; sets of items are bit rows.
A state is which items still lie where they began (`here`) and which are held. Laying, sliding, and
taking and laying in one go only take hindrances away, so they are done as soon as they can be: the
only decision is what to take out and hold. Source: derived. Checked: exhaustive search and a
simulator of strands, tests/plan/test_hands.py.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from crossfell.order.relation import bits

MOST_STATES = 400  # of one search at one limit; a count, so that any machine answers alike

FEW = 100  # items up to which one limit below another is tried


@dataclass(frozen=True, slots=True)
class Mover:
    """A hand that is lifted, or strips that slide."""

    strips: int
    lifted: bool
    blocked_here: int  # items that must not lie where they began when this one is put down
    blocked_held: int = 0  # items that must not be held then


TAKE, LAY, TAKE_AND_LAY, SLIDE = "take", "lay", "take and lay", "slide"
Event = tuple[str, int]  # what is done, with which item


@dataclass(frozen=True, kw_only=True)
class Touch:
    """Events in their order, the most strips loose at once, and whether fewer are impossible."""

    events: tuple[Event, ...]
    loose: int
    proved: bool


def one_touch(items: Sequence[Mover]) -> Touch:
    """Take every hand once, with the fewest strips loose that a bounded search finds.

    Limits are tried upwards from the floor as long as each is refuted; from the first that is not,
    downwards from what any order needs.
    """
    limit = _floor(items)
    while True:
        search = _Search(items, limit)
        if (events := search.run()) is not None:
            return Touch(events=events, loose=_loosest(items, events), proved=True)
        if search.gave_up:
            return _downwards(items, limit)
        limit += 1


def all_out(items: Sequence[Mover]) -> Touch:
    """Take all hands out, slide what slides, lay them: the most loose, the fewest slides."""
    hands = [i for i, item in enumerate(items) if item.lifted]
    search = _Search(items, sum(items[i].strips for i in hands))
    state = _State(
        (1 << len(items)) - 1 - search.hands, search.hands, search.limit, [(TAKE, i) for i in hands]
    )
    search.settle(state, (1 << len(items)) - 1)
    return Touch(events=tuple(state.events), loose=search.limit, proved=not search.limit)


def _downwards(items: Sequence[Mover], unproved: int) -> Touch:
    """The fewest strips loose that is found above a limit that was neither met nor refuted."""
    best = _Search(items, sum(item.strips for item in items if item.lifted)).run()
    if best is None:
        raise AssertionError("with all strips out every order of laying is open")
    loose = _loosest(items, best)
    few = len(items) <= FEW
    while few and loose - 1 > unproved and (events := _Search(items, loose - 1).run()) is not None:
        best, loose = events, _loosest(items, events)
    return Touch(events=best, loose=loose, proved=False)


def _floor(items: Sequence[Mover]) -> int:
    """No order has fewer loose: the largest hand, and what the first to be laid must wait for."""
    hands = [item for item in items if item.lifted]
    waits = (
        hand.strips + sum(items[j].strips for j in bits(hand.blocked_here) if items[j].lifted)
        for hand in hands
    )
    return max(max((hand.strips for hand in hands), default=0), min(waits, default=0))


def _loosest(items: Sequence[Mover], events: Sequence[Event]) -> int:
    loose = most = 0
    for what, i in events:
        if what in {TAKE, TAKE_AND_LAY}:
            most = max(most, loose + items[i].strips)
        loose += {TAKE: items[i].strips, LAY: -items[i].strips}.get(what, 0)
    return most


@dataclass(slots=True)
class _State:
    here: int
    held: int
    loose: int  # strips held
    events: list[Event]


class _Search:
    """Depth first over what to take next, with a memory of states that lead nowhere."""

    def __init__(self, items: Sequence[Mover], limit: int) -> None:
        self.items, self.limit = items, limit
        self.left = MOST_STATES
        self.gave_up = False
        self.hands = sum(1 << i for i, item in enumerate(items) if item.lifted)
        self.frees = [0] * len(items)  # [item] items that may go once it has gone
        for i, item in enumerate(items):
            for j in bits(item.blocked_here | item.blocked_held):
                self.frees[j] |= 1 << i

    def run(self) -> tuple[Event, ...] | None:
        """Find the events, or None."""
        everything = (1 << len(self.items)) - 1
        start = _State(everything, 0, 0, [])
        self.settle(start, everything)
        dead: set[tuple[int, int]] = set()
        way = [(start, self._choices(start))]
        while way:
            state, choices = way[-1]
            if not state.here and not state.held:
                return tuple(event for state, _ in way for event in state.events)
            after = next(choices, None)
            if after is None:
                dead.add((state.here, state.held))
                way.pop()
            elif (after.here, after.held) not in dead:
                if not self.left:
                    self.gave_up = True
                    return None
                self.left -= 1
                way.append((after, self._choices(after)))
        return None

    def settle(self, state: _State, todo: int) -> None:
        """Do all that only takes hindrances away, from the left; `todo` are items to look at."""
        waiting = 0  # hands that could be taken and laid but for the limit
        while todo:
            bit = todo & -todo
            todo ^= bit
            i = bit.bit_length() - 1
            item = self.items[i]
            if item.blocked_here & state.here or item.blocked_held & state.held:
                continue
            if state.held & bit:
                state.held ^= bit
                state.loose -= item.strips
                state.events.append((LAY, i))
                todo |= waiting & state.here
            elif not item.lifted:
                state.here ^= bit
                state.events.append((SLIDE, i))
            elif state.loose + item.strips <= self.limit:
                state.here ^= bit
                state.events.append((TAKE_AND_LAY, i))
            else:
                waiting |= bit
                continue
            todo |= self.frees[i] & (state.here | state.held)

    def _choices(self, state: _State) -> Iterator[_State]:
        """States after taking one more hand: what the held ones wait for first, few held first."""
        wanted = self._waited_for(state)
        for hands in (state.here & self.hands & wanted, state.here & self.hands & ~wanted):
            ranked = []
            for i in bits(hands):
                bit, loose = 1 << i, state.loose + self.items[i].strips
                if loose > self.limit:
                    continue
                after = _State(state.here ^ bit, state.held | bit, loose, [(TAKE, i)])
                self.settle(after, self.frees[i] & (after.here | after.held))
                ranked.append((after.loose, i, after))
            yield from (after for *_, after in sorted(ranked, key=lambda choice: choice[:2]))

    def _waited_for(self, state: _State) -> int:
        """Items that held ones wait for, through sliders."""
        wanted, queue = 0, state.held
        while queue:
            bit = queue & -queue
            queue ^= bit
            more = self.items[bit.bit_length() - 1].blocked_here & state.here & ~wanted
            wanted |= more
            queue |= more & ~self.hands
        return wanted

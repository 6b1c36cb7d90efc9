"""A row of strands of its own, moved by motions: it knows nothing of how they were found."""

from __future__ import annotations

from dataclasses import dataclass, field

IN_ROW, ABOVE, BELOW = 0.0, 1.0, -1.0


@dataclass
class StrandRow:
    """Who lies where, who hangs aside, and the word that the motions so far have made."""

    place: dict[int, float]
    height: dict[int, float] = field(default_factory=dict)
    word: list[int] = field(default_factory=list)
    half_turns: dict[int, int] = field(default_factory=dict)
    taken: list[int] = field(default_factory=list)
    loosest: int = 0

    def __post_init__(self):
        self.order = sorted(self.place, key=self.place.get)
        self.height = dict.fromkeys(self.place, IN_ROW)
        self.left_of = {}

    def do(self, motion, *, told=True):
        """Make a motion; what cannot be done stops the test, and, if `told`, what is not said."""
        self.told = told
        assert [self.place[u] for u in motion.units] == list(motion.from_places)
        getattr(self, f"_{motion.what.name.lower()}")(motion)
        there = [self.place[u] for u in self.place if self.height[u] == IN_ROW]
        assert len(there) == len(set(there)), "two strips in one place"

    def _take(self, motion):
        self.taken += motion.units
        for u in motion.units:
            assert self.height[u] == IN_ROW
            self.left_of[u] = set(self.order[: self.order.index(u)])
            self.height[u] = BELOW if motion.below else ABOVE
        self._count()

    def _lay(self, motion):
        side = BELOW if motion.below else ABOVE
        assert {self.height[u] for u in motion.units} == {side}
        self._put(motion, side / 2)

    def _take_and_lay(self, motion):
        self._take(motion)
        for u, start, end in sorted(
            motion.along, key=lambda one: (one[2] > one[1], one[1] * (1 if one[2] < one[1] else -1))
        ):
            assert (self.place[u], self.height[u]) == (start, IN_ROW)
            self._move(u, end, IN_ROW)
        self._lay(motion)

    def _slide(self, motion):
        assert {self.height[u] for u in motion.units} == {IN_ROW}
        self._put(motion, IN_ROW)

    def _roll(self, motion):
        sign = 1 if motion.half_turns > 0 else -1
        block = [self.order.index(u) for u in motion.units]
        assert block == list(range(block[0], block[0] + len(block))), "others lie between"
        for u in motion.units:
            self.half_turns[u] = self.half_turns.get(u, 0) + sign
        for width in range(len(block) - 1, 0, -1):
            for i in range(width):
                self._swap(block[0] + i, sign > 0)
        self.place.update(zip(motion.units, motion.to_places, strict=True))

    def _carry(self, motion):
        self.loosest = max(self.loosest, len(motion.units))
        for over, passed in ((leg.over, u) for leg in motion.legs for u in leg.passed):
            going = self.order.index(passed) > self.order.index(motion.units[0])
            for u in reversed(motion.units) if going else motion.units:
                at = self.order.index(u)
                assert self.order[at + (1 if going else -1)] == passed, "somebody is passed unsaid"
                self._swap(at if going else at - 1, over if going else not over)
        for u, start, end in motion.along:
            assert self.place[u] == start
            self.place[u] = end
        self.place.update(zip(motion.units, motion.to_places, strict=True))
        assert self.order == sorted(self.place, key=self.place.get)

    def _put(self, motion, height):
        told = (set(motion.held_under), set(motion.held_over)) if self.told else None
        right = motion.to_places[0] > motion.from_places[0]
        pairs = zip(motion.units, motion.to_places, strict=True)
        for u, end in reversed(list(pairs)) if right else pairs:
            self._move(u, end, height, told)
            self.height[u] = IN_ROW
        if self.told and height != IN_ROW:
            said = {u for run in motion.crossed for u in run}
            assert all(self._crossed(u) - set(motion.units) == said for u in motion.units)

    def _crossed(self, u):
        """Who lies in the row on another side of a strand than when it was taken."""
        left = set(self.order[: self.order.index(u)])
        return {v for v in left ^ self.left_of[u] if self.height[v] == IN_ROW}

    def _move(self, u, end, height, told=None):
        at = self.order.index(u)
        while True:
            step = 1 if end > self.place[u] else -1
            beside = at + step
            if not 0 <= beside < len(self.order):
                break
            other = self.order[beside]
            if (end - self.place[other]) * step <= 0:
                break
            level = self.height[other]
            assert level != height, "it slides through a strip"
            if told and IN_ROW not in (level, height):
                under, over = told
                assert other in (over if level > 0 else under)
            self._swap(min(at, beside), (height > level) == (step > 0))
            at = beside
        self.place[u] = end

    def _swap(self, at, left_over):
        self.word.append(at + 1 if left_over else -at - 1)
        self.order[at], self.order[at + 1] = self.order[at + 1], self.order[at]

    def _count(self):
        loose = sum(height != IN_ROW for height in self.height.values())
        self.loosest = max(self.loosest, loose)

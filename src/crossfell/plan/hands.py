"""Which hands are taken and laid on one stretch, and in which order?

Several sets of strips that can stay are tried (stretch.py). What must go under them is laid from
below, the rest from above; `touching` puts the hands into an order with few strips loose, and the
quickest of those that leave few enough is taken. A hand can be put down unless something that it
must not pass still lies between its old and its new place, something that it must cross does not
yet lie there, something lies in its place, or hangs aside that it must cross. Source: derived.
Checked: a simulator of strands and exhaustive search, tests/plan/test_hands.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from crossfell.order.batten import Row
from crossfell.order.relation import bits, layers_of
from crossfell.plan.motions import Motion, Prices, What, in_one_go, runs_of
from crossfell.plan.stretch import Group, Stretch, Task, choices
from crossfell.plan.touching import LAY, SLIDE, TAKE, TAKE_AND_LAY, Mover, Touch, all_out, one_touch
from crossfell.plan.windows import windows_off

Order = Callable[[Sequence[Mover]], Touch]
ORDERS: tuple[Order, ...] = (one_touch, all_out)
_WHAT = {TAKE: What.TAKE, LAY: What.LAY, SLIDE: What.SLIDE, TAKE_AND_LAY: What.TAKE_AND_LAY}


@dataclass(frozen=True, kw_only=True)
class HandsLaid:
    """Motions of one task, and what they take."""

    motions: tuple[Motion, ...]
    loose: int  # most strips out of the row at once
    loose_proved: bool  # no order of these hands has fewer loose
    lifted: int
    hands: int


def handed(task: Task, prices: Prices, most_loose: int) -> HandsLaid:
    """The motions of a task: few strips loose, and quick."""
    stretch = Stretch(task)
    stays = list(choices(stretch, prices))
    tried = [_tried(stretch, stay, prices, order) for stay in stays for order in ORDERS]
    best = min(
        tried, key=lambda one: (max(0, one.touch.loose - most_loose), one.minutes, one.touch.loose)
    )
    return HandsLaid(
        motions=tuple(best.motions),
        loose=best.touch.loose,
        loose_proved=best.touch.proved,
        lifted=best.lifted,
        hands=best.hands,
    )


@dataclass(frozen=True, kw_only=True)
class _Tried:
    """What comes of one set that stays."""

    items: Sequence[_HandItem]
    touch: Touch
    motions: Sequence[Motion]
    minutes: float  # to rank by: weights too, and what is awkward

    @property
    def hands(self) -> int:
        return sum(item.lifted for item in self.items)

    @property
    def lifted(self) -> int:
        return sum(item.strips for item in self.items if item.lifted)


def _ranked(order: Sequence[int]) -> list[int]:
    """Bit rows: all that come before each in an order."""
    before, rows = 0, [0] * len(order)
    for u in order:
        rows[u] = before
        before |= 1 << u
    return rows


def _tried(
    stretch: Stretch, stay: frozenset[int], prices: Prices, order: Order, *, strict: bool = False
) -> _Tried:
    """What stays so, put into an order.

    Where two that do not cross pass each other, one of them hanging aside, they get a height to
    each other that the crossings did not ask for. Should these heights contradict each other, one
    order of heights is laid down for all, and the hands are put into an order that keeps it.
    """
    items = _Parts(stretch, stay, strict=strict).items()
    touch = order(items)
    told = _Told(stretch)
    motions = in_one_go([told.motion(what, items[i]) for what, i in touch.events])
    if not strict and not _agrees(stretch, motions):
        return _tried(stretch, stay, prices, order, strict=True)
    below = sum(item.below for item in items if item.lifted)
    minutes = sum(motion.minutes(prices, stretch.task.hand) for motion in motions)
    minutes += below * prices.below + _windows(stretch, stay) * prices.window / 2
    return _Tried(items=items, touch=touch, motions=motions, minutes=minutes)


def _windows(stretch: Stretch, stay: frozenset[int]) -> int:
    """Windows of weights off and windows on, where those that stay in their places keep theirs."""
    off = {u for u in range(len(stretch.units)) if u not in stay or not stretch.keeps_its_weight(u)}
    return sum(
        len(windows_off(dict(enumerate(places)), off, stretch.task.hand))
        for places in (stretch.start, stretch.end)
    )


def _agrees(stretch: Stretch, motions: Sequence[Motion]) -> bool:
    """Whether there is one order of heights for all that pass each other."""
    number = {unit: i for i, unit in enumerate(stretch.units)}
    over = list(stretch.over)
    for motion in motions:
        units = sum(1 << number[u] for u in motion.units)
        for u in motion.held_over:
            over[number[u]] |= units
        for u in motion.units:
            over[number[u]] |= sum(1 << number[v] for v in motion.held_under)
    return layers_of(len(over), over) is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class _HandItem(Mover):
    """A hand or a slider with its units, by number."""

    numbers: Group
    below: bool


class _Parts:
    """Hands and sliders of what stays so; what stays in its place is none of them."""

    def __init__(self, stretch: Stretch, stay: frozenset[int], *, strict: bool) -> None:
        self.stretch = stretch
        self.lower = _ranked(stretch.upward) if strict else stretch.beneath
        self.higher = _ranked(stretch.upward[::-1]) if strict else stretch.atop
        under_them = 0
        for number in stay:
            under_them |= stretch.beneath[number]
        self.parts: list[Group] = []
        self.lifted = self.below = 0  # bit rows of parts
        for group in stretch.groups:
            lifts = group[0] not in stay
            if not lifts and stretch.start[group[0]] == stretch.end[group[0]]:
                continue
            size = stretch.task.hand if lifts else len(group)
            for i in range(0, len(group), size):
                self.lifted |= lifts << len(self.parts)
                self.below |= (under_them >> group[0] & 1) << len(self.parts)
                self.parts.append(group[i : i + size])
        self.at = {u: index for index, part in enumerate(self.parts) for u in part}

    def items(self) -> list[_HandItem]:
        """The parts with what hinders each."""
        return [self._item(index, part) for index, part in enumerate(self.parts)]

    def _item(self, index: int, part: Group) -> _HandItem:
        stretch, lifted = self.stretch, bool(self.lifted >> index & 1)
        below = bool(self.below >> index & 1)
        ends = {stretch.end[u] for u in part}
        here = passed = self._row(u for u in self.at if self._passes(part, u))
        held = 0
        if lifted:
            crossed = self._row(bits((stretch.under if below else stretch.over)[part[0]]))
            from_there = self.below if below else self.lifted & ~self.below
            here = passed ^ crossed
            here &= passed | ~self.lifted | from_there
            wrong = self._row(bits((self.higher if below else self.lower)[part[0]]))
            held = (crossed | passed & wrong) & self.lifted & from_there
        here |= self._row(u for u in self.at if stretch.start[u] in ends)
        mine = ~(1 << index)
        return _HandItem(
            strips=len(part),
            lifted=lifted,
            blocked_here=here & mine,
            blocked_held=held & mine,
            numbers=part,
            below=below,
        )

    def _passes(self, part: Group, number: int) -> bool:
        """Whether a unit begins between the old and the new place of a part."""
        start, end, there = self.stretch.start, self.stretch.end, self.stretch.start[number]
        if end[part[0]] > start[part[0]]:
            return start[part[-1]] < there <= end[part[-1]]
        return end[part[0]] <= there < start[part[0]]

    def _row(self, numbers: Iterable[int]) -> int:
        return sum({1 << self.at[u] for u in numbers if u in self.at})


class _Told:
    """Events as motions, while a row is kept of who lies where and who hangs aside."""

    def __init__(self, stretch: Stretch) -> None:
        self.stretch = stretch
        many, places = len(stretch.units), max((*stretch.start, *stretch.end), default=0)
        self.row = Row(stretch.start, [1] * many, [0.0] * many, places)

    def motion(self, what: str, item: _HandItem) -> Motion:
        """Make an event a motion."""
        stretch, row = self.stretch, self.row
        start = [row.at.get(u, stretch.start[u]) for u in item.numbers]
        end = start if what == TAKE else [stretch.end[u] for u in item.numbers]
        crossed = self._done(what, item, end)
        low, high = min(start[0], end[0]), max(start[-1], end[-1])
        passed = [u for u in row.held if low < stretch.start[u] < high and u not in item.numbers]
        in_row = [u for u in row.now if u is not None]
        return Motion(
            what=_WHAT[what],
            units=self._units(item.numbers),
            from_places=tuple(start),
            to_places=tuple(end),
            below=item.below,
            crossed=tuple(self._units(run) for run in runs_of(crossed, in_row)),
            held_over=self._units(u for u in passed if row.held.get(u) is False),
            held_under=self._units(u for u in passed if row.held.get(u) is True),
        )

    def _done(self, what: str, item: _HandItem, end: Sequence[int]) -> Sequence[int]:
        """Do it with the row; whom it crosses."""
        row = self.row
        if what == SLIDE:
            row.slide(item.numbers, end)
            return ()
        if what != LAY:
            row.lift(item.numbers, below=item.below)
        return () if what == TAKE else row.lay(item.numbers, end)[0].others

    def _units(self, numbers: Iterable[int]) -> tuple[int, ...]:
        return tuple(self.stretch.units[u] for u in numbers)

"""How does a weaver make the crossings of one span?

The batten falls into stretches that have nothing to do with each other; they are worked one after
another from the left. In each: one hand that makes all the crossings is carried round; else blocks
that roll are rolled, and hands are taken and laid with few strips loose at once (hands.py), or,
where more would be loose than she holds in order or nothing can hang aside, carried through the
row one by one (carries.py). An interlaced stretch is worked in passes, each of which is layable.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

from crossfell.plan.carries import Crossing, carried, needled, passed_by_blocks
from crossfell.plan.hands import HandsLaid, handed
from crossfell.plan.motions import Motion, Prices, What
from crossfell.plan.rolls import rolled
from crossfell.plan.stretch import Stretch, Task
from crossfell.plan.windows import windows_off

Place = Mapping[int, int]  # unit: place


@dataclass(frozen=True, kw_only=True)
class Hands:
    """What she can do: strips in one hand, strips loose at once, and whether any can hang aside."""

    hand: int
    most_loose: int  # strips that she can hold, or hang aside, in their order
    limit_is_hers: bool  # more are never loose; a default gives way where that is quicker
    lay_aside: bool  # whether strips can hang aside at all
    prices: Prices


@dataclass(frozen=True, kw_only=True)
class SpanTask:
    """A span as it is to be made: who lies where before and after, and the crossings in order."""

    before: Place
    after: Place
    passes: Sequence[Sequence[Crossing]]  # (over, under), pass by pass
    half_turns: Mapping[int, int]  # of those that turn
    moved: frozenset[int]  # units whose weight comes off in any case


@dataclass(frozen=True, kw_only=True)
class StretchWork:
    """One stretch as it is worked."""

    motions: tuple[Motion, ...]
    turned: Mapping[int, int]  # half turns that are left to be made one by one
    loose: int  # most strips out of the row at once
    proved: bool  # whether no order of these hands leaves fewer loose
    lifted: int
    hands: int
    lifted_least: int  # no way of making these crossings lifts fewer


def worked(row: SpanTask, can: Hands) -> list[StretchWork]:
    """Every stretch of a span in which something moves or turns, from the left."""
    return [_as_ever(part, can) for part in _stretches(row) if part.moved or any(part.passes)]


class _Alike(NamedTuple):
    """A stretch whoever lies there and wherever it is: what its work follows from."""

    before: tuple[int, ...]  # [ranks] place, the leftmost of all being 1
    after: tuple[int, ...]
    passes: tuple[tuple[Crossing, ...], ...]  # ranks
    half_turns: tuple[int, ...]
    moved: tuple[bool, ...]


def _as_ever(row: SpanTask, can: Hands) -> StretchWork:
    """The same moves of other units elsewhere are worked out once."""
    units = sorted(row.before, key=row.before.__getitem__)
    rank = {unit: i for i, unit in enumerate(units)}
    low = min(*row.before.values(), *row.after.values()) - 1
    alike = _Alike(
        before=tuple(row.before[u] - low for u in units),
        after=tuple(row.after[u] - low for u in units),
        passes=tuple(tuple((rank[u], rank[v]) for u, v in part) for part in row.passes),
        half_turns=tuple(row.half_turns.get(u, 0) for u in units),
        moved=tuple(u in row.moved for u in units),
    )
    found = _worked_alike(alike, can)
    return replace(
        found,
        motions=tuple(motion.of(units, low) for motion in found.motions),
        turned={units[u]: left for u, left in found.turned.items()},
    )


@lru_cache(maxsize=4096)
def _worked_alike(alike: _Alike, can: Hands) -> StretchWork:
    ranks = range(len(alike.before))
    row = SpanTask(
        before=dict(enumerate(alike.before)),
        after=dict(enumerate(alike.after)),
        passes=alike.passes,
        half_turns={u: alike.half_turns[u] for u in ranks if alike.half_turns[u]},
        moved=frozenset(u for u in ranks if alike.moved[u]),
    )
    return _worked(row, can)


def _stretches(row: SpanTask) -> Iterator[SpanTask]:
    """Cut a span where nobody goes across."""
    ways = [(place, row.after[unit]) for unit, place in row.before.items()]
    ways += [(row.before[u], row.before[v]) for part in row.passes for u, v in part]
    cuts: list[tuple[int, int]] = []
    for low, high in sorted((min(way), max(way)) for way in ways):
        if cuts and low <= cuts[-1][1]:
            cuts[-1] = (cuts[-1][0], max(cuts[-1][1], high))
        else:
            cuts.append((low, high))
    by_place = {place: unit for unit, place in row.before.items()}
    for low, high in cuts:
        yield _part(row, [by_place[p] for p in range(low, high + 1) if p in by_place])


def _part(row: SpanTask, units: Sequence[int]) -> SpanTask:
    there = set(units)
    return SpanTask(
        before={u: row.before[u] for u in units},
        after={u: row.after[u] for u in units},
        passes=[[pair for pair in crossings if pair[0] in there] for crossings in row.passes],
        half_turns={u: turns for u, turns in row.half_turns.items() if u in there},
        moved=row.moved & there,
    )


def _worked(row: SpanTask, can: Hands) -> StretchWork:
    carry = carried(row.passes, row.before, row.after, can.hand)
    if carry and sum(map(bool, row.passes)) > 1:
        return _alone(row, carry)
    found = _in_passes(row, can)
    if carry and len(carry.legs) > 1 and _all(row, [carry], can) < _all(row, found.motions, can):
        return _alone(row, carry)
    return found


def _alone(row: SpanTask, carry: Motion) -> StretchWork:
    """A stretch in which one hand does everything."""
    strips = len(carry.units)
    return StretchWork(
        motions=(carry,),
        turned=row.half_turns,
        loose=strips,
        proved=True,
        lifted=strips,
        hands=1,
        lifted_least=_fewest(row.before, {pair for part in row.passes for pair in part}),
    )


def _in_passes(row: SpanTask, can: Hands) -> StretchWork:
    turns, before = dict(row.half_turns), row.before
    motions: list[Motion] = []
    laid: list[HandsLaid] = []
    crossed: set[Crossing] = set()  # but for those within rolls
    passes = [part for part in row.passes if part] or [()]
    for number, part in enumerate(passes, 1):
        after = row.after if number == len(passes) else _between(before, part)
        task = Task(pairs=part, before=before, after=after, moved=row.moved, hand=can.hand)
        rolls, task = rolled(task, turns)
        crossed |= set(task.pairs)
        for roll in rolls:
            turns |= {u: turns[u] - roll.half_turns for u in roll.units}
        laid.append(_laid(task, can))
        motions += [*rolls, *laid[-1].motions]
        before = after
    rolled_strips = max((len(m.units) for m in motions if m.what is What.ROLL), default=0)
    return StretchWork(
        motions=tuple(motions),
        turned={u: left for u, left in turns.items() if left},
        loose=max(rolled_strips, *(one.loose for one in laid)),
        proved=all(one.loose_proved for one in laid),
        lifted=sum(one.lifted for one in laid),
        hands=sum(one.hands for one in laid),
        lifted_least=_fewest(row.before, crossed),
    )


def _fewest(before: Place, crossings: Collection[Crossing]) -> int:
    """A floor for the strips lifted: of two that cross one is; the most that need not be stay.

    They are at most a longest chain along the row of which no two neighbours cross.
    """
    pairs = {frozenset(pair) for pair in crossings}
    row = sorted(before, key=before.__getitem__)
    chain: list[int] = []
    for i, unit in enumerate(row):
        ahead = (chain[j] for j in range(i) if frozenset((row[j], unit)) not in pairs)
        chain.append(1 + max(ahead, default=0))
    return len(row) - max(chain, default=0)


def _between(before: Place, crossings: Sequence[Crossing]) -> Place:
    """Who lies where after a pass that is not the last: in the places that were taken before."""
    rank = {u: i for i, u in enumerate(sorted(before, key=before.__getitem__))}
    ends = dict(rank)
    for one, other in crossings:
        left, right = sorted((one, other), key=rank.__getitem__)
        ends[left] += 1
        ends[right] -= 1
    return dict(zip(sorted(ends, key=ends.__getitem__), sorted(before.values()), strict=True))


def _laid(task: Task, can: Hands) -> HandsLaid:
    """A layable task: with strips hanging aside, or one by one through the row."""
    found = handed(task, can.prices, can.most_loose)
    fits, stretch = found.loose <= can.most_loose, Stretch(task)
    ways = [needled(stretch, from_left=side) for side in (True, False)]
    aside = can.lay_aside and (fits or not can.limit_is_hers)
    if not aside:
        ways.append(passed_by_blocks(stretch))
    through = min(ways, key=lambda motions: _minutes(motions, can))
    if aside and _minutes(found.motions, can) <= _minutes(through, can):
        return found
    carries = [motion for motion in through if motion.what is What.CARRY]
    return HandsLaid(
        motions=tuple(through),
        loose=max((len(motion.units) for motion in carries), default=0),
        loose_proved=True,
        lifted=sum(len(motion.units) for motion in carries),
        hands=len(carries),
    )


def _minutes(motions: Sequence[Motion], can: Hands) -> float:
    return sum(motion.minutes(can.prices, can.hand) for motion in motions)


def _all(row: SpanTask, motions: Sequence[Motion], can: Hands) -> float:
    """Minutes of a stretch with its weights."""
    off = row.moved | {u for motion in motions for u in motion.units}
    windows = sum(len(windows_off(at, off, can.hand)) for at in (row.before, row.after))
    return _minutes(motions, can) + windows * can.prices.window / 2

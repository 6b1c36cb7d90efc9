"""How are the bobbins wound with the least trouble?

Bobbins of one kind of unit may be wound alike, all to the longest of the group, as long as that
wastes no more than a set share of the yarn; the fewest groups of neighbours in length are found.
Kinds follow each other so that the fewest ends change yarn on the creel.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate, pairwise

from crossfell.draft.model import Draft
from crossfell.loom.bobbins import Bobbins, Winding

EXACT = 10  # kinds up to which every order is looked at


@dataclass(frozen=True, kw_only=True)
class Group:
    """Bobbins that are wound alike."""

    number: int  # in the order of winding, from 1
    kind: str
    units: tuple[int, ...]
    length_mm: float  # of each end
    waste: float  # yarn beyond what each bobbin needs, as a share of what they need
    changes: int  # ends that get another yarn on the creel before this group


@dataclass(frozen=True, kw_only=True)
class WindingPlan:
    """Groups in the order of winding."""

    groups: tuple[Group, ...]
    changes: int  # ends changed on the creel, over all
    proved: bool  # no order of kinds changes fewer

    def group_of(self, unit: int) -> Group:
        """The group with which a unit's bobbin is wound."""
        return next(group for group in self.groups if unit in group.units)

    def wound_g(self, unit: int, need: Winding) -> float:
        """Yarn (g) on a bobbin that is wound to the length of its group."""
        return need.mass_g * self.group_of(unit).length_mm / need.total_mm


def winding_plan(draft: Draft, bobbins: Bobbins) -> WindingPlan:
    """Group and order the bobbins of a draft."""
    kinds = sorted({unit.kind for unit in draft.units})
    creel = {
        kind: tuple(name for count, name in draft.kinds[kind].ends for _ in range(count))
        for kind in kinds
    }
    order, proved = ordered(kinds, creel)
    groups: list[Group] = []
    last: tuple[str, ...] = ()
    for kind in order:
        own = [u for u, unit in enumerate(draft.units) if unit.kind == kind]
        lengths = {u: bobbins.windings[u].total_mm for u in own}
        for units in alike(lengths, draft.loom.alike):
            longest = max(lengths[u] for u in units)
            need = sum(lengths[u] for u in units)
            groups.append(
                Group(
                    number=len(groups) + 1,
                    kind=kind,
                    units=tuple(sorted(units)),
                    length_mm=longest,
                    waste=longest * len(units) / need - 1,
                    changes=changed(last, creel[kind]) if last else 0,
                )
            )
            last = creel[kind]
    total = sum(group.changes for group in groups)
    return WindingPlan(groups=tuple(groups), changes=total, proved=proved)


def alike(lengths: dict[int, float], share: float) -> list[list[int]]:
    """Fewest groups in which winding all to the longest wastes at most `share` of the need.

    Groups of neighbours in length; among the fewest, those that waste least. Exact for these, by
    dynamic programming from the longest; groups that skip a length between are not looked at.
    """
    order = sorted(lengths, key=lambda u: (-lengths[u], u))
    length = [lengths[u] for u in order]
    upto = [0.0, *accumulate(length)]
    best: list[tuple[int, float]] = [(0, 0.0)]  # groups and waste for the first bobbins
    start = [0]
    for end in range(1, len(order) + 1):
        found: tuple[int, float, int] | None = None
        for first in range(end):  # groups for the first bobbins never grow fewer
            if found and best[first][0] + 1 > found[0]:
                break
            need = upto[end] - upto[first]
            waste = length[first] * (end - first) - need
            if waste <= need * share + 1e-9:
                new = (best[first][0] + 1, best[first][1] + waste, first)
                found = new if found is None else min(found, new)
        assert found is not None  # one bobbin by itself wastes nothing
        best.append(found[:2])
        start.append(found[2])
    groups, end = [], len(order)
    while end:
        groups.append(order[start[end] : end])
        end = start[end]
    return groups[::-1]


def changed(one: tuple[str, ...], other: tuple[str, ...]) -> int:
    """Ends on the creel that get another yarn, or a first one."""
    places = range(max(len(one), len(other)))
    both = [(_at(one, i), _at(other, i)) for i in places]
    return sum(new is not None and new != old for old, new in both)


def _at(creel: tuple[str, ...], place: int) -> str | None:
    return creel[place] if place < len(creel) else None


def ordered(kinds: list[str], creel: dict[str, tuple[str, ...]]) -> tuple[tuple[str, ...], bool]:
    """Order of kinds that changes the fewest ends, and whether that is proved.

    Up to `EXACT` kinds by dynamic programming over sets (Held & Karp 1962, published); beyond, from
    every kind the nearest next, the best of these.
    """
    cost = {(a, b): changed(creel[a], creel[b]) for a in kinds for b in kinds}
    if len(kinds) > EXACT:
        ways = [_nearest(start, kinds, cost) for start in kinds]
        return min(ways, key=lambda way: (_changes(way, cost), way)), False
    best: dict[tuple[frozenset[str], str], tuple[int, tuple[str, ...]]] = {
        (frozenset((kind,)), kind): (0, (kind,)) for kind in kinds
    }
    for _ in range(len(kinds) - 1):
        longer: dict[tuple[frozenset[str], str], tuple[int, tuple[str, ...]]] = {}
        for (done, last), (changes, way) in best.items():
            for kind in kinds:
                if kind not in done:
                    new = (changes + cost[last, kind], (*way, kind))
                    state = (done | {kind}, kind)
                    longer[state] = min(longer.get(state, new), new)
        best = longer
    return (min(best.values())[1] if best else ()), True


def _nearest(start: str, kinds: list[str], cost: dict[tuple[str, str], int]) -> tuple[str, ...]:
    way, left = [start], [kind for kind in kinds if kind != start]
    while left:
        way.append(min(left, key=lambda kind: (cost[way[-1], kind], kind)))
        left.remove(way[-1])
    return tuple(way)


def _changes(way: tuple[str, ...], cost: dict[tuple[str, str], int]) -> int:
    return sum(cost[a, b] for a, b in pairwise(way))

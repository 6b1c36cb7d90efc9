"""How are rods and strips cut from bars, with the least bought?

Exact one-dimensional cutting. Kerf rule (derived): each piece needs its length and one cut, and
the last cut of a bar may fall off its end, so the kerf is added to each piece and once to the bar.
Least length bought first (with one length sold: fewest bars), then the least length of off-cuts
taken from stock, so that an off-cut is used where it saves buying and kept where it does not.
Checked: published optima of 73 and 453 bars, tests/outside/test_cutting_stock.py.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from crossfell.plan.sawing import Sawing, Sawn

NM = 1_000_000  # lengths are compared in whole millionths of a mm, so that sums are exact
Pattern = tuple[float, bool, tuple[float, ...]]  # bar (mm), whether she has it, pieces (mm)


@dataclass(frozen=True, kw_only=True)
class Bar:
    """One way of cutting a bar, and how often it is cut that way."""

    times: int
    stock_mm: float
    in_stock: bool  # from what she has; otherwise bought
    pieces: tuple[float, ...]  # mm, longest first
    rest_mm: float  # what is left after the cuts


@dataclass(frozen=True, kw_only=True)
class CutPlan:
    """Bars for all pieces. `proved`: no plan buys less; otherwise `bound` is a floor for it."""

    bars: tuple[Bar, ...]
    bought: int  # bars
    bound: int  # least number of bars to buy (of the longest sold, when several are)
    bought_mm: float
    bound_mm: float  # least length to buy
    proved: bool
    too_long: tuple[float, ...]  # pieces (mm) for which there is no bar
    kerf_mm: float
    returned: tuple[float, ...]  # rests (mm) worth keeping, longest first


def cut(
    pieces: Sequence[float],
    stock_mm: float | Sequence[float],
    *,
    kerf_mm: float = 0.0,
    off_cuts: Mapping[float, int] | None = None,
    keep_mm: float | None = None,
) -> CutPlan:
    """Cut pieces (mm) from bars sold in one length or several, and from off-cuts (length: count).

    Rests of `keep_mm` and more are returned to stock. Pieces that are alike, and plans that a
    simple bound proves, need no solver. Errors: ValueError for a length that is not positive.
    """
    sold = sorted({stock_mm} if isinstance(stock_mm, (int, float)) else set(stock_mm), reverse=True)
    owned = {length: n for length, n in sorted((off_cuts or {}).items()) if n > 0 and length > 0}
    if min([*pieces, *sold], default=1.0) <= 0 or kerf_mm < 0:
        raise ValueError("lengths to cut are positive")
    longest = max([*sold, *owned], default=0.0)
    fits = [p for p in pieces if whole(p) <= whole_bar(longest)]
    too_long = [p for p in pieces if whole(p) > whole_bar(longest)]
    lengths = {whole(p): p for p in sorted(fits)}
    bars = [*sold, *owned]
    task = _task(Counter(map(whole, fits)), sold, owned, kerf_mm)
    cuts = _answer(task)
    patterns: Counter[Pattern] = Counter()
    order = sorted(lengths, reverse=True)
    missing = list(task.demand)
    for kind, row, times in cuts.patterns:
        for _ in range(times):
            taken = [min(n, left) for n, left in zip(row, missing, strict=True)]
            missing = [left - n for left, n in zip(missing, taken, strict=True)]
            from_bar = tuple(
                lengths[o] for o, n in zip(order, taken, strict=True) for _ in range(n)
            )
            if from_bar:
                patterns[bars[kind], kind >= len(sold), from_bar] += 1
    too_long += [lengths[o] for o, n in zip(order, missing, strict=True) for _ in range(n)]
    return _plan(patterns, cuts.least, sold, kerf_mm, keep_mm, too_long)


def whole(length_mm: float) -> int:
    """A piece in whole millionths of a mm, never longer than it is."""
    return math.floor(length_mm * NM + 1e-3)


def whole_bar(length_mm: float) -> int:
    """A bar in whole millionths of a mm, never shorter than it is."""
    return math.ceil(length_mm * NM - 1e-3)


def _task(
    demand: Counter[int], sold: Sequence[float], owned: Mapping[float, int], kerf_mm: float
) -> Sawing:
    kerf = whole(kerf_mm)
    sizes = sorted(demand, reverse=True)
    bars = [whole_bar(length) for length in [*sold, *owned]]
    return Sawing(
        sizes=tuple(size + kerf for size in sizes),
        demand=tuple(demand[size] for size in sizes),
        rooms=tuple(bar + kerf for bar in bars),
        costs=(*bars[: len(sold)], *[0] * len(owned)),
        limits=(*[None] * len(sold), *owned.values()),
    )


def _answer(task: Sawing) -> Sawn:
    if not task.sizes:
        return Sawn(patterns=(), least=0)
    if len(task.sizes) == 1:
        return _alike(task)
    if len(task.rooms) == 1:
        quick = _first_fit(task)
        if len(quick.patterns) * task.costs[0] <= quick.least:
            return quick
    from crossfell.plan.cutting_exact import exact

    return exact(task)


def _first_fit(task: Sawing) -> Sawn:
    """Each piece, longest first, from the first bar with room; the floor is the summed length."""
    rows: list[list[int]] = []
    left: list[int] = []
    for i, size in enumerate(task.sizes):
        for _ in range(task.demand[i]):
            bar = next((b for b, room in enumerate(left) if size <= room), len(left))
            if bar == len(left):
                rows.append([0] * len(task.sizes))
                left.append(task.rooms[0])
            rows[bar][i] += 1
            left[bar] -= size
    need = sum(size * n for size, n in zip(task.sizes, task.demand, strict=True))
    least = -(-need // task.rooms[0]) * task.costs[0]
    return Sawn(patterns=tuple((0, tuple(row), 1) for row in rows), least=least)


def _alike(task: Sawing) -> Sawn:
    """Pieces of one length, exactly: the least bought beside all off-cuts, then the least of them.

    Both are the same covering task, solved by dynamic programming over the number of pieces.
    """
    sold = [k for k, limit in enumerate(task.limits) if limit is None and task.holds(k, 0)]
    have = [k for k, limit in enumerate(task.limits) if limit for _ in range(limit)]
    count = task.demand[0]
    short = max(count - sum(task.holds(k, 0) for k in have), 0)
    bought = _cover(short, [(k, task.holds(k, 0), task.costs[k]) for k in sold], again=True)
    given = sum(task.holds(k, 0) for k in bought)
    rest = min(max(count - given, 0), sum(task.holds(k, 0) for k in have))
    used = _cover(rest, [(k, task.holds(k, 0), task.rooms[k]) for k in have], again=False)
    patterns = tuple((k, (task.holds(k, 0),), 1) for k in (*bought, *used))
    return Sawn(patterns=patterns, least=sum(task.costs[k] for k in bought))


def _cover(need: int, bars: Sequence[tuple[int, int, int]], *, again: bool) -> tuple[int, ...]:
    """Kinds of bars, (kind, pieces given, cost) each, that give at least `need` at least cost.

    A bar may be taken again and again, or once. Nothing when there is no bar at all.
    """
    best: list[tuple[int, tuple[int, ...]] | None] = [(0, ()), *[None] * need]
    for kind, gives, cost in bars:
        if not gives:
            continue
        for n in range(1, need + 1) if again else range(need, 0, -1):
            before = best[max(n - gives, 0)]
            now = best[n]
            if before is not None and (now is None or before[0] + cost < now[0]):
                best[n] = (before[0] + cost, (*before[1], kind))
    found = best[need]
    return found[1] if found else ()


def _plan(
    patterns: Counter[Pattern],
    least: int,
    sold: Sequence[float],
    kerf_mm: float,
    keep_mm: float | None,
    too_long: Sequence[float],
) -> CutPlan:
    bars = []
    for (length, in_stock, pieces), times in patterns.items():
        rest = max(length - math.fsum(pieces) - kerf_mm * len(pieces), 0.0)
        bars.append(
            Bar(times=times, stock_mm=length, in_stock=in_stock, pieces=pieces, rest_mm=rest)
        )
    bars.sort(key=lambda bar: (bar.in_stock, -bar.stock_mm, bar.rest_mm, bar.pieces))
    bought = [bar for bar in bars if not bar.in_stock]
    length = math.fsum(bar.stock_mm * bar.times for bar in bought)
    rests = [bar.rest_mm for bar in bars for _ in range(bar.times)]
    kept = () if keep_mm is None else tuple(rest for rest in rests if rest >= max(keep_mm, 1e-6))
    bound = -(-least // whole_bar(sold[0])) if sold else 0
    return CutPlan(
        bars=tuple(bars),
        bought=sum(bar.times for bar in bought),
        bound=bound,
        bought_mm=length,
        bound_mm=least / NM,
        proved=length <= least / NM + 1e-3 and not too_long,
        too_long=tuple(sorted(set(too_long), reverse=True)),
        kerf_mm=kerf_mm,
        returned=tuple(sorted(kept, reverse=True)),
    )

"""How are rods and strips cut from bars, with the fewest bars bought?

Exact one-dimensional cutting. Kerf rule (derived): each piece needs its length and one cut, and
the last cut of a bar may fall off its end, so the kerf is added to each piece and once to the bar.
Checked: published optima of 73 and 453 bars, tests/outside/test_cutting_stock.py.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

EPSILON = 1e-6  # mm: lengths closer than this are the same
MOST_PATTERNS = 60_000


@dataclass(frozen=True, kw_only=True)
class Bar:
    """One way of cutting a bar, and how often it is cut that way."""

    times: int
    stock_mm: float
    in_stock: bool  # from what she has; otherwise bought
    pieces: tuple[float, ...]  # mm, longest first
    rest_mm: float


@dataclass(frozen=True, kw_only=True)
class CutPlan:
    """Bars for all pieces. `bound` is the least number of bars to buy; `proved` says it is met."""

    bars: tuple[Bar, ...]
    bought: int
    bound: int
    proved: bool
    too_long: tuple[float, ...]  # pieces (mm) that no bar can give


def cut(
    pieces: Sequence[float],
    stock_mm: float,
    *,
    kerf_mm: float = 0.0,
    off_cuts: Mapping[float, int] | None = None,
) -> CutPlan:
    """Cut pieces (mm) from bars of `stock_mm`, using off-cuts (length: count) where that helps.

    Fewest bars bought first, then the least length of off-cuts. First fit decreasing when it meets
    the length bound, which proves it; otherwise patterns and HiGHS, exactly.
    """
    owned = {length: count for length, count in (off_cuts or {}).items() if count > 0}
    longest = max([stock_mm, *owned])
    fits = sorted((p for p in pieces if p <= longest + EPSILON), reverse=True)
    too_long = tuple(sorted({p for p in pieces if p > longest + EPSILON}, reverse=True))
    if not fits:
        return CutPlan(bars=(), bought=0, bound=0, proved=True, too_long=too_long)
    if not owned:
        quick = _first_fit(fits, stock_mm, kerf_mm)
        bound = math.ceil(sum(p + kerf_mm for p in fits) / (stock_mm + kerf_mm) - EPSILON)
        if len(quick) <= bound:
            return _plan(Counter(quick), kerf_mm, bound, too_long)
    if fits[0] - fits[-1] < EPSILON:
        return _alike(fits[0], len(fits), stock_mm, owned, kerf_mm, too_long)
    return _exact(Counter(fits), stock_mm, owned, kerf_mm, too_long)


Pattern = tuple[float, bool, tuple[float, ...]]  # bar (mm), whether she has it, pieces (mm)


def _first_fit(pieces: Sequence[float], stock_mm: float, kerf_mm: float) -> list[Pattern]:
    bars: list[list[float]] = []
    left: list[float] = []
    for piece in pieces:
        for i, room in enumerate(left):
            if piece + kerf_mm <= room + EPSILON:
                bars[i].append(piece)
                left[i] -= piece + kerf_mm
                break
        else:
            bars.append([piece])
            left.append(stock_mm - piece)
    return [(stock_mm, False, tuple(bar)) for bar in bars]


def _alike(
    piece: float,
    count: int,
    stock_mm: float,
    owned: Mapping[float, int],
    kerf_mm: float,
    too_long: tuple[float, ...],
) -> CutPlan:
    """Pieces of one length: every off-cut that gives a piece saves buying it, shortest first."""
    patterns: Counter[Pattern] = Counter()

    def holds(bar_mm: float) -> int:
        return int((bar_mm + kerf_mm + EPSILON) // (piece + kerf_mm))

    each = holds(stock_mm)
    pieces_owned = sum(holds(length) * n for length, n in owned.items())
    short = max(count - pieces_owned, 0)
    bought = -(-short // each) if each else 0
    left = count
    for _ in range(bought):
        patterns[stock_mm, False, (piece,) * min(each, left)] += 1
        left -= min(each, left)
    for length in sorted(owned):
        for _ in range(owned[length]):
            taken = min(holds(length), left)
            if taken:
                patterns[length, True, (piece,) * taken] += 1
                left -= taken
    missing = (*too_long, *([piece] if left else []))
    return _plan(patterns, kerf_mm, bought, missing)


def _exact(
    demand: Counter[float],
    stock_mm: float,
    owned: Mapping[float, int],
    kerf_mm: float,
    too_long: tuple[float, ...],
) -> CutPlan:
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, linprog, milp

    sizes = sorted(demand, reverse=True)
    kinds = [(stock_mm, math.inf), *sorted(owned.items(), reverse=True)]
    patterns: list[tuple[int, tuple[int, ...]]] = []
    for kind, (length, _) in enumerate(kinds):
        most = tuple(demand[size] for size in sizes)
        patterns += [(kind, p) for p in _patterns(sizes, most, length + kerf_mm, kerf_mm)]
    columns = np.array([p for _, p in patterns], dtype=float).T
    bought = np.array([kind == 0 for kind, _ in patterns], dtype=float)
    used = np.array([kinds[kind][0] if kind else 0.0 for kind, _ in patterns])
    cost = bought + used / (1.0 + 10.0 * sum(length * count for length, count in owned.items()))
    need = np.array([demand[size] for size in sizes], dtype=float)
    limits = np.array(
        [[kind == k for kind, _ in patterns] for k in range(1, len(kinds))], dtype=float
    ).reshape(len(kinds) - 1, len(patterns))
    have = np.array([count for _, count in kinds[1:]], dtype=float)
    relaxed = linprog(
        bought,
        A_ub=np.vstack([-columns, limits]),
        b_ub=np.concatenate([-need, have]),
        bounds=(0, None),
        method="highs",
    )
    bound = math.ceil(float(relaxed.fun or 0.0) - 1e-7)
    constraints = [LinearConstraint(columns, lb=need)]
    if len(kinds) > 1:
        constraints.append(LinearConstraint(limits, ub=have))
    answer = milp(
        cost,
        constraints=constraints,
        integrality=np.ones(len(patterns), dtype=np.int64),
        bounds=Bounds(0, np.inf),
        options={"time_limit": 20.0, "mip_rel_gap": 0.0},
    )
    if answer.x is None:
        raise RuntimeError(f"the cutting program ended without an answer: {answer.message}")
    counts = np.round(answer.x).astype(int)
    bars: Counter[Pattern] = Counter()
    over = dict(zip(sizes, (columns @ counts - need).round().astype(int), strict=True))
    for (kind, pattern), count in zip(patterns, counts.tolist(), strict=True):
        for _ in range(count):
            row = [size for size, n in zip(sizes, pattern, strict=True) for _ in range(n)]
            bars[kinds[kind][0], kind > 0, tuple(_without_surplus(row, over))] += 1
    if answer.status == 0:
        bound = max(bound, int(bought @ counts))
    return _plan(bars, kerf_mm, bound, too_long)


def _without_surplus(row: list[float], over: dict[float, int]) -> list[float]:
    kept = []
    for size in row:
        if over[size] > 0:
            over[size] -= 1
        else:
            kept.append(size)
    return kept


def _patterns(
    sizes: Sequence[float], most: Sequence[int], room: float, kerf_mm: float
) -> list[tuple[int, ...]]:
    """Every pattern that has no room for another piece."""
    out: list[tuple[int, ...]] = []
    counts = [0] * len(sizes)

    def fill(index: int, left: float) -> None:
        if len(out) > MOST_PATTERNS:
            return
        if index == len(sizes):
            full = all(
                counts[i] == most[i] or sizes[i] + kerf_mm > left + EPSILON
                for i in range(len(sizes))
            )
            if full and any(counts):
                out.append(tuple(counts))
            return
        fitting = min(most[index], int((left + EPSILON) // (sizes[index] + kerf_mm)))
        for count in range(fitting, -1, -1):
            counts[index] = count
            fill(index + 1, left - count * (sizes[index] + kerf_mm))
        counts[index] = 0

    fill(0, room)
    if len(out) > MOST_PATTERNS:
        raise ValueError("too many different lengths to be cut exactly")
    return out


def _plan(
    patterns: Counter[Pattern], kerf_mm: float, bound: int, too_long: tuple[float, ...]
) -> CutPlan:
    bars = []
    for (length, in_stock, pieces), times in patterns.items():
        if not pieces:
            continue
        rest = length - sum(pieces) - kerf_mm * len(pieces)
        bars.append(
            Bar(
                times=times,
                stock_mm=length,
                in_stock=in_stock,
                pieces=pieces,
                rest_mm=max(rest, 0.0),
            )
        )
    bars.sort(key=lambda bar: (bar.in_stock, bar.rest_mm, bar.pieces))
    bought = sum(bar.times for bar in bars if not bar.in_stock)
    return CutPlan(
        bars=tuple(bars),
        bought=bought,
        bound=bound,
        proved=bought <= bound and not too_long,
        too_long=too_long,
    )

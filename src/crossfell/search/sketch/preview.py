"""What can her units show at once, before anything is solved?

The k-th unit of a colour wants the (k - 1/2)-quantile of its density; its way is made no steeper
than it may be; units lie in the order in which they want to.
"""

from __future__ import annotations

import numpy as np

from crossfell.search.sketch.asked import Ask, Floats, Ints


def preview(ask: Ask) -> Ints:
    """A colour for each cell [T, n] that units can lie in, close to what is asked. Milliseconds."""
    bands, colours, places = ask.shape
    want = np.empty((bands, places))
    whose = np.repeat(np.arange(colours), ask.counts)
    at = 0
    for c, count in enumerate(ask.counts):
        ways = _quantiles(ask.sums[:, c], count)
        want[:, at : at + count] = ways if ask.free[c] else eased(ways, ask.reach)
        at += count
    rank = np.argsort(np.argsort(want, axis=1, kind="stable"), axis=1, kind="stable")
    return _shown(_kept_near(rank, whose, ask), whose)


def _quantiles(sums: Floats, count: int) -> Floats:
    """Places [T, count] where the sums [T, n + 1] of a colour reach 1/2, 3/2, …."""
    levels = np.arange(count) + 0.5
    places = np.arange(sums.shape[1], dtype=float)
    rows = [np.interp(levels * row[-1] / max(count, 1), row, places) for row in sums]
    return np.array(rows)


def eased(ways: Floats, reach: float) -> Floats:
    """Ways [T, units] with steps of at most `reach`: between the tightest above and below."""
    above, below = ways.copy(), ways.copy()
    for order in (range(1, len(ways)), range(len(ways) - 2, -1, -1)):
        step = 1 if order.step < 0 else -1
        for t in order:
            above[t] = np.maximum(above[t], above[t + step] - reach)
            below[t] = np.minimum(below[t], below[t + step] + reach)
    return (above + below) / 2


def _kept_near(rank: Ints, whose: Ints, ask: Ask) -> Ints:
    """Ranks [T, units] with no step beyond the reach; units of one colour keep their order."""
    rank = _in_order(rank, ask)
    roams = np.array(ask.free)[whose]
    for t in range(1, len(rank)):
        step = np.abs(rank[t] - rank[t - 1])
        if (step[~roams] > ask.reach).any():
            rank[t] = within_reach(rank[t - 1], rank[t], np.where(roams, len(whose), ask.reach))
            rank[t : t + 1] = _in_order(rank[t : t + 1], ask)
    return rank


def _in_order(rank: Ints, ask: Ask) -> Ints:
    parts = np.split(rank, np.cumsum(ask.counts)[:-1], axis=1)
    return np.concatenate([np.sort(part, axis=1) for part in parts], axis=1)


def within_reach(now: Ints, wanted: Ints, reach: Ints) -> Ints:
    """Places near `wanted` [units] that each unit can reach from its place `now` [units].

    Places are filled from the left by who wants to lie furthest left, as long as the rest can still
    be laid: of those that must lie at or before place d there are never more than places up to d.
    """
    n = len(now)
    latest = np.minimum(now + reach, n - 1).tolist()
    earliest = (now - reach).tolist()
    waiting = np.lexsort((now, wanted)).tolist()
    due = np.cumsum(np.bincount(latest, minlength=n)).tolist()  # units that must lie by place d
    out = np.empty(n, dtype=np.int64)
    for place in range(n):
        full = next((d for d in range(place, n) if due[d] == d + 1), n)
        unit = next(u for u in waiting if earliest[u] <= place and latest[u] <= full)
        waiting.remove(unit)
        out[unit] = place
        for d in range(place, latest[unit]):
            due[d] += 1  # it lies already: counted among those up to d
    return out


def _shown(rank: Ints, whose: Ints) -> Ints:
    shown = np.empty_like(rank)
    np.put_along_axis(shown, rank, np.broadcast_to(whose, rank.shape), axis=1)
    return shown

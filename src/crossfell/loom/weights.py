"""Which of her weights goes on which unit?

One weight to a unit. Weight and bobbin together, over what the unit's tension asks for, is the
unit's share; the shares of all units should lie close together, so that no unit is woven tighter
than its neighbour, and close to one, what was asked. Spread is the greatest of all shares and one
over the least of them; of all ways to hand out the weights she owns, one with the least spread is
found exactly.
Source: derived. Checked: tests/outside/test_weights.py, against every way on small cases.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from crossfell.order.model import Floats

FARTHEST = 2.0  # a share beyond this factor from what was asked is no answer; common practice
SAME = 1 + 1e-9
STEPS = 100  # even windows tried before the exact search, for a first idea of its width


@dataclass(frozen=True, kw_only=True)
class Handed:
    """Weights handed out. Arrays are [units]."""

    mass_g: Floats  # of the weight alone
    share: Floats  # weight and bobbin, over what was asked
    spread: float  # greatest share or one, over the least share or one
    least: float  # no way of handing out the weights has less spread
    short: int  # units for which no weight was left or fitting; they keep what they ask for
    parts: tuple[tuple[float, ...], ...] = ()  # [units] weights that hang together, if not one each

    @property
    def hung(self) -> tuple[tuple[float, ...], ...]:
        """[units] the weights (g) on each unit, heaviest first."""
        return self.parts or tuple((mass,) for mass in self.mass_g.tolist())

    def said(self, unit: int) -> str:
        """What hangs on a unit: `350 + 200 g`."""
        return " + ".join(f"{mass:.0f}" for mass in self.hung[unit]) + " g"


def hand_out(wanted_g: Floats, bobbin_g: Floats, owned: Sequence[tuple[float, int]]) -> Handed:
    """Choose a weight for each unit; `wanted_g` and `bobbin_g` are [units].

    When the weights do not suffice, every unit gets what it asks for and `short` says how many
    lack one.
    """
    exact = np.maximum(wanted_g - bobbin_g, 0.0)
    missing = _missing(wanted_g, bobbin_g, owned, 1 / FARTHEST, FARTHEST) if owned else 0
    masses = exact
    if owned and not missing and len(wanted_g):
        low, high = _least_spread(wanted_g, bobbin_g, owned)
        masses = _matched(wanted_g, bobbin_g, owned, low, high)
    share = (masses + bobbin_g) / wanted_g
    spread = spread_of(share)
    return Handed(mass_g=masses, share=share, spread=spread, least=spread, short=missing)


def spread_of(share: Floats) -> float:
    """Greatest of all shares and one, over the least of them."""
    return float(np.max(share, initial=1.0) / np.min(share, initial=1.0))


def _least_spread(
    wanted: Floats, bobbin: Floats, owned: Sequence[tuple[float, int]]
) -> tuple[float, float]:
    """Least window [low, high] of shares around one in which all units find a weight.

    Both ends of a least window are shares that occur, or one. As the low end rises the high end
    that is needed can only rise too, so both run through their shares once.
    """
    most = _even_window(wanted, bobbin, owned)
    masses = np.array(sorted({mass for mass, _ in owned}))
    every = np.unique((masses[:, None] + bobbin) / wanted)
    lows = [*every[(every >= 1 / most / SAME) & (every < 1)].tolist(), 1.0]
    highs = [1.0, *every[(every > 1) & (every <= most * SAME)].tolist()]
    best, at = (1 / FARTHEST, FARTHEST), 0
    for low in lows:
        while at < len(highs) and _missing(wanted, bobbin, owned, low, highs[at]):
            at += 1
        if at == len(highs):
            break
        if highs[at] / low < best[1] / best[0] / SAME:
            best = (low, highs[at])
    return best


def _even_window(wanted: Floats, bobbin: Floats, owned: Sequence[tuple[float, int]]) -> float:
    """How far from one the ends of a least window lie at most: as an even one that does is wide."""
    for step in range(1, STEPS):
        half = math.pow(FARTHEST, 0.5 * step / STEPS)
        if not _missing(wanted, bobbin, owned, 1 / half, half):
            return half**2
    return FARTHEST


def _missing(
    wanted: Floats, bobbin: Floats, owned: Sequence[tuple[float, int]], low: float, high: float
) -> int:
    """Units that find no weight with a share in [low, high]."""
    masses = np.array([mass for mass, _ in owned])[:, None]
    share = (masses + bobbin) / wanted
    fits = (share >= low / SAME) & (share <= high * SAME)
    lost = int((~fits.any(axis=0)).sum())
    return lost or int(np.isnan(_matched(wanted, bobbin, owned, low, high)).sum())


def _matched(
    wanted: Floats, bobbin: Floats, owned: Sequence[tuple[float, int]], low: float, high: float
) -> Floats:
    """A weight for as many units as can be: from light to heavy to whoever can wait least.

    Each unit takes masses from an interval, so that the earliest end first is a greatest matching.
    Source: published, Glover, Nav. Res. Logist. Q. 14 (1967) 313: convex bipartite graphs.
    """
    least = wanted * low / SAME - bobbin
    most = wanted * high * SAME - bobbin
    order = np.argsort(least, kind="stable").tolist()
    given = np.full(len(wanted), np.nan)
    waiting: list[tuple[float, int]] = []
    next_unit = 0
    for mass, count in sorted(owned):
        while next_unit < len(order) and least[order[next_unit]] <= mass:
            unit = order[next_unit]
            heapq.heappush(waiting, (float(most[unit]), unit))
            next_unit += 1
        left = count
        while waiting and left:
            latest, unit = heapq.heappop(waiting)
            if latest >= mass:
                given[unit] = mass
                left -= 1
    return given

"""Which of her weights go together on which unit, when one alone to a unit does not do?

A unit can carry up to three weights. Units that ask for the same are alike; for each kind of unit
an integer program chooses how many of them get which combination, so that the spread of shares is
least (see weights.py), and of those the fewest weights hang.
Source: derived; integer program (HiGHS through scipy). Checked: tests/outside/test_weights.py,
against every way on small cases.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement

import numpy as np

from crossfell.loom.weights import FARTHEST, Handed, hand_out, spread_of
from crossfell.order.model import Floats

MOST_ON_ONE = 3  # weights on one unit; common practice, no source
EVEN = 1.1  # spread up to which one weight to a unit is even enough; common practice, no source
NEAREST = 24  # combinations that are looked at for each kind of unit, the nearest to its wish
FEWER = 1e-6  # what one weight less is worth, beside the logarithm of the spread
SECONDS = 5.0

Parts = tuple[float, ...]  # masses (g) that hang together


@dataclass(frozen=True, kw_only=True)
class _Choice:
    """One combination for one kind of unit."""

    kind: int
    parts: Parts
    log_share: float


def hand_out_together(
    wanted_g: Floats, bobbin_g: Floats, owned: Sequence[tuple[float, int]]
) -> Handed:
    """One weight to a unit where that is even enough; else several together, if that is evener."""
    alone = hand_out(wanted_g, bobbin_g, owned)
    if not owned or not len(wanted_g) or not (alone.short or alone.spread > EVEN):
        return alone
    parts = combined(wanted_g, bobbin_g, owned)
    if parts is None:
        return alone
    mass = np.array([sum(each) for each in parts])
    share = (mass + bobbin_g) / wanted_g
    spread = spread_of(share)
    if not alone.short and spread >= alone.spread - 1e-6:
        return alone
    return Handed(mass_g=mass, share=share, spread=spread, short=0, parts=parts)


def combined(
    wanted_g: Floats, bobbin_g: Floats, owned: Sequence[tuple[float, int]]
) -> tuple[Parts, ...] | None:
    """The weights of each unit, heaviest first; None when they do not suffice.

    `wanted_g` and `bobbin_g` are [units], `owned` masses and how many of each.
    """
    stock: dict[float, int] = {}
    for mass, count in owned:
        stock[mass] = stock.get(mass, 0) + count
    pairs = list(zip(wanted_g.round(6).tolist(), bobbin_g.round(6).tolist(), strict=True))
    kinds = sorted(set(pairs))
    units = [[u for u, pair in enumerate(pairs) if pair == kind] for kind in kinds]
    choices = [choice for k, kind in enumerate(kinds) for choice in _choices(k, *kind, stock=stock)]
    counts = _chosen(choices, [len(row) for row in units], stock)
    if counts is None:
        return None
    given: dict[int, Parts] = {}
    for choice, count in zip(choices, counts, strict=True):
        for _ in range(count):
            given[units[choice.kind].pop(0)] = choice.parts
    return tuple(given[u] for u in range(len(pairs)))


def _choices(kind: int, wanted: float, bobbin: float, *, stock: dict[float, int]) -> list[_Choice]:
    found = []
    masses = sorted(stock, reverse=True)
    for number in range(1, MOST_ON_ONE + 1):
        for parts in combinations_with_replacement(masses, number):
            share = (sum(parts) + bobbin) / wanted
            there = all(parts.count(mass) <= stock[mass] for mass in set(parts))
            if there and 1 / FARTHEST <= share <= FARTHEST:
                found.append(_Choice(kind=kind, parts=parts, log_share=float(np.log(share))))
    return sorted(found, key=lambda c: (abs(c.log_share), c.parts))[:NEAREST]


def _chosen(
    choices: Sequence[_Choice], sizes: Sequence[int], stock: dict[float, int]
) -> list[int] | None:
    """How many units get each choice; None when not all find one."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    n, masses = len(choices), sorted(stock)
    if {choice.kind for choice in choices} != set(range(len(sizes))):
        return None
    # variables: units of each choice [n], whether it is used [n], greatest and least share (log)
    rows: list[tuple[dict[int, float], float, float]] = []
    for kind, size in enumerate(sizes):
        mine = {i: 1.0 for i, choice in enumerate(choices) if choice.kind == kind}
        rows.append((mine, size, size))
    for mass in masses:
        uses = {i: float(c.parts.count(mass)) for i, c in enumerate(choices) if mass in c.parts}
        rows.append((uses, 0.0, stock[mass]))
    for i, choice in enumerate(choices):
        rows.append(({i: 1.0, n + i: -float(sizes[choice.kind])}, -np.inf, 0.0))
        end = 2 * n if choice.log_share > 0 else 2 * n + 1
        rows.append(({n + i: abs(choice.log_share), end: -1.0}, -np.inf, 0.0))
    at = [(r, c, v) for r, (row, _, _) in enumerate(rows) for c, v in row.items()]
    r, c, v = (np.array(column) for column in zip(*at, strict=True))
    matrix = coo_array((v, (r, c)), shape=(len(rows), 2 * n + 2)).tocsr()
    most = [float(sizes[choice.kind]) for choice in choices]
    found = milp(
        c=[*(FEWER * len(choice.parts) for choice in choices), *([0.0] * n), 1.0, 1.0],
        constraints=LinearConstraint(matrix, [row[1] for row in rows], [row[2] for row in rows]),
        integrality=np.array([1] * (2 * n) + [0, 0]),
        bounds=Bounds(np.zeros(2 * n + 2), [*most, *([1.0] * n), np.inf, np.inf]),
        options={"time_limit": SECONDS, "mip_rel_gap": 1e-9},
    )
    return None if found.x is None else [round(x) for x in found.x[:n].tolist()]

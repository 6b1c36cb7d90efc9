"""Which of her weights go together on which unit, when one alone to a unit does not do?

A unit can carry up to three weights. In a window [low, high] of shares (see weights.py) a unit
accepts the combinations whose mass lies in an interval; units with the same interval are alike, so
a window is one small integer program: how many units of each class get which combination, within
what she owns. Windows of one width are tried side by side; widths go up and down a ladder from the
least that any unit asks for, whatever is owned. What a narrower rung refutes is the floor that is
told; small cases are then narrowed to the least there is. Work is bounded by counts, so that every
machine answers alike. Source: derived; integer program (HiGHS).
Checked: tests/outside/test_weights.py, against every way on small cases.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crossfell.base.solver import quiet_solver
from crossfell.loom.weights import FARTHEST, SAME, Handed, hand_out, spread_of
from crossfell.order.model import Floats

MOST_ON_ONE = 3  # weights on one unit; common practice, no source
EVEN = 1.1  # spread up to which one weight to a unit is even enough; common practice, no source
RUNG = 1.004  # widths on the ladder; the floor lies at most two rungs below what is found
MOST_NODES = 200  # of one program
MOST_NARROWED = 30  # windows tried to narrow what the ladder found

Parts = tuple[float, ...]  # masses (g) that hang together
Ints = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class Together:
    """Weights of each unit, heaviest first, and a spread that no other way falls below."""

    parts: tuple[Parts, ...]
    least: float


def hand_out_together(
    wanted_g: Floats, bobbin_g: Floats, owned: Sequence[tuple[float, int]]
) -> Handed:
    """One weight to a unit where that is even enough; else several together, if that is evener."""
    alone = hand_out(wanted_g, bobbin_g, owned)
    if not owned or not len(wanted_g) or not (alone.short or alone.spread > EVEN):
        return alone
    found = combined(wanted_g, bobbin_g, owned)
    if found is None:
        return alone
    mass = np.array([sum(each) for each in found.parts])
    share = (mass + bobbin_g) / wanted_g
    spread = spread_of(share)
    if not alone.short and spread >= alone.spread - 1e-6:
        return alone
    return Handed(
        mass_g=mass, share=share, spread=spread, least=found.least, short=0, parts=found.parts
    )


def combined(
    wanted_g: Floats, bobbin_g: Floats, owned: Sequence[tuple[float, int]]
) -> Together | None:
    """The weights of each unit with the least spread found; None when they do not suffice.

    `wanted_g` and `bobbin_g` are [units], `owned` masses and how many of each.
    """
    ladder = _Ladder(_Owned.of(owned, len(wanted_g)), wanted_g, bobbin_g)
    window = ladder.climbed()
    if window is None:
        return None
    low, high = ladder.narrowed(window)
    parts = ladder.given(low, high)
    spread = spread_of((np.array([sum(each) for each in parts]) + bobbin_g) / wanted_g)
    return Together(parts=parts, least=min(ladder.least, spread))


@dataclass(frozen=True, kw_only=True)
class _Owned:
    """All combinations of her weights, from light to heavy."""

    stock: Floats  # [masses] how many of each
    parts: tuple[Parts, ...]  # [combinations]
    mass_g: Floats  # [combinations]
    uses: Floats  # [masses, combinations] how many of each mass a combination takes
    total_g: float  # of all that she owns, as far as so many units can use it

    @classmethod
    def of(cls, owned: Sequence[tuple[float, int]], units: int) -> _Owned:
        """Make them of masses and counts; more than three to a unit are never wanted."""
        stock: dict[float, int] = {}
        for mass, count in owned:
            stock[mass] = min(stock.get(mass, 0) + count, MOST_ON_ONE * units)
        masses = sorted(stock)
        parts = [
            combination[::-1]
            for number in range(1, MOST_ON_ONE + 1)
            for combination in combinations_with_replacement(masses, number)
            if all(combination.count(mass) <= stock[mass] for mass in set(combination))
        ]
        parts.sort(key=lambda each: (sum(each), len(each), each))
        return cls(
            stock=np.array([stock[mass] for mass in masses], dtype=np.float64),
            parts=tuple(parts),
            mass_g=np.array([sum(each) for each in parts]),
            uses=np.array([[each.count(mass) for each in parts] for mass in masses], dtype=float),
            total_g=math.fsum(mass * count for mass, count in stock.items()),
        )


@dataclass(frozen=True, kw_only=True)
class _Classes:
    """Units that accept the same combinations in a window."""

    first: Ints  # [classes] first combination that does
    stop: Ints  # [classes] first that does no more
    size: Ints  # [classes]
    of: Ints  # [units] class

    @property
    def key(self) -> bytes:
        """Equal for windows that ask for the same program."""
        return self.first.tobytes() + self.stop.tobytes() + self.size.tobytes()


class _Ladder:
    """Windows, the programs that they ask for, and what came of them."""

    def __init__(self, owned: _Owned, wanted_g: Floats, bobbin_g: Floats) -> None:
        self.owned, self.wanted_g, self.bobbin_g = owned, wanted_g, bobbin_g
        self.least = 1.0  # no spread is below this
        self.known: dict[bytes, bool | None] = {}
        self.window: tuple[float, float] | None = None  # the narrowest that does

    def climbed(self) -> tuple[float, float] | None:
        """The narrowest window on the ladder that does."""
        if not self.does(1 / FARTHEST, FARTHEST):
            return None
        last = math.ceil(2 * math.log(FARTHEST) / math.log(RUNG))
        start = _first(lambda rung: any(self.classes(*w) for w in _windows(rung)), 0, last)
        if start is not None:
            self.least = RUNG ** max(start - 1, 0)
            _first(self._on, start, last)
        return self.window

    def _on(self, rung: int) -> bool:
        """Whether a window of this rung does; all refuted is a floor for every spread."""
        said = []
        for window in _windows(rung):
            said.append(self.does(*window))
            if said[-1]:
                self.window = window
                return True
        if None not in said:
            self.least = max(self.least, RUNG**rung)
        return False

    def narrowed(self, window: tuple[float, float]) -> tuple[float, float]:
        """The least window of all between the floor and this one, where that is little work."""
        best = window[1] / window[0]
        shares = self._shares()
        lows = [1.0, *shares[(shares < 1) & (shares >= 1 / best)][::-1].tolist()]
        highs = np.array([1.0, *shares[(shares > 1) & (shares <= best)].tolist()])
        if len(lows) * len(highs).bit_length() > MOST_NARROWED:
            return window
        sure = True
        for low in lows:
            there = highs[(highs / low >= self.least / SAME) & (highs / low < best / SAME)].tolist()
            first, stop = 0, len(there)
            while first < stop:
                middle = (first + stop) // 2
                does = self.does(low, there[middle])
                sure = sure and does is not None
                first, stop = (first, middle) if does else (middle + 1, stop)
            if first < len(there):
                window, best = (low, there[first]), there[first] / low
        if sure:
            self.least = best
        return window

    def _shares(self) -> Floats:
        """Every share that can occur within reason, sorted."""
        every = (self.owned.mass_g[:, None] + self.bobbin_g) / self.wanted_g
        return np.unique(every[(every >= 1 / FARTHEST) & (every <= FARTHEST)])

    def classes(self, low: float, high: float) -> _Classes | None:
        """Units by what they accept; None when one accepts nothing."""
        mass = self.owned.mass_g
        first = np.searchsorted(mass, self.wanted_g * low / SAME - self.bobbin_g)
        stop = np.searchsorted(mass, self.wanted_g * high * SAME - self.bobbin_g, side="right")
        if np.any(first >= stop):
            return None
        rows, of, size = np.unique(
            np.stack((first, stop)), axis=1, return_inverse=True, return_counts=True
        )
        return _Classes(first=rows[0], stop=rows[1], size=size, of=of.ravel())

    def does(self, low: float, high: float) -> bool | None:
        """Whether every unit finds its weights in a window; None when the work ran out."""
        classes = self.classes(low, high)
        if classes is None or self._too_little(classes):
            return False
        if classes.key not in self.known:
            counts, sure = _program(self.owned, classes, fewest=False)
            self.known[classes.key] = True if counts is not None else False if sure else None
        return self.known[classes.key]

    def _too_little(self, classes: _Classes) -> bool:
        """Whether all that she owns is lighter than the lightest that the units accept."""
        asked = float(self.owned.mass_g[classes.first] @ classes.size)
        return asked > self.owned.total_g * SAME

    def given(self, low: float, high: float) -> tuple[Parts, ...]:
        """The fewest weights in a window: heavier combinations for who asks for more."""
        classes = self.classes(low, high)
        counts = None if classes is None else _program(self.owned, classes, fewest=True)[0]
        if classes is None or counts is None:
            raise AssertionError("this window did before")
        parts: list[Parts] = [()] * len(self.wanted_g)
        at = 0
        for k, (first, stop) in enumerate(zip(classes.first, classes.stop, strict=True)):
            units = np.nonzero(classes.of == k)[0]
            asks = (self.wanted_g - self.bobbin_g)[units]
            order = units[np.argsort(asks, kind="stable")].tolist()
            for combination in range(first, stop):
                for _ in range(counts[at]):
                    parts[order.pop(0)] = self.owned.parts[combination]
                at += 1
        return tuple(parts)


def _windows(rung: int) -> Iterator[tuple[float, float]]:
    """Windows side by side that hold every one of at most this width round one; even ones first."""
    steps = sorted(range(rung + 2), key=lambda step: (abs(2 * step - rung - 1), step))
    return (
        (max(RUNG**-step, 1 / FARTHEST), min(RUNG ** (rung + 1 - step), FARTHEST)) for step in steps
    )


def _first(does: Callable[[int], bool], start: int, last: int) -> int | None:
    """The first rung that does, in doubled steps up and halved ones back; None if none does."""
    low, high, step = start - 1, start, 1
    while not does(high):
        if high == last:
            return None
        low, high, step = high, min(high + step, last), 2 * step
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if does(middle) else (middle, high)
    return high


def _program(owned: _Owned, classes: _Classes, *, fewest: bool) -> tuple[list[int] | None, bool]:
    """How many units of each class get each of its combinations, and whether that is sure.

    Rows: units of each class, then weights of each mass.
    """
    import highspy

    columns = np.concatenate(
        [np.arange(a, b) for a, b in zip(classes.first, classes.stop, strict=True)]
    )
    kind = np.repeat(np.arange(len(classes.size)), classes.stop - classes.first)
    n, uses = len(columns), owned.uses[:, columns]
    height = len(classes.size) + len(owned.stock)
    rows, index, value = [kind], [np.arange(n)], [np.ones(n)]
    mass, at = np.nonzero(uses)
    rows.append(mass + len(classes.size))
    index.append(at)
    value.append(uses[mass, at])
    matrix = _by_row(height, np.concatenate(rows), np.concatenate(index), np.concatenate(value))
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = n, height
    weights = np.array([len(owned.parts[c]) for c in columns.tolist()], dtype=np.float64)
    model.col_cost_ = weights if fewest else np.zeros(n)
    model.col_lower_, model.col_upper_ = np.zeros(n), classes.size[kind].astype(np.float64)
    model.row_lower_ = np.concatenate((classes.size, np.zeros(len(owned.stock)))).astype(float)
    model.row_upper_ = np.concatenate((classes.size, owned.stock)).astype(float)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_, model.a_matrix_.index_, model.a_matrix_.value_ = matrix
    model.integrality_ = [highspy.HighsVarType.kInteger] * n
    return _solved(model)


def _by_row(height: int, row: Ints, index: Ints, value: Floats) -> tuple[Ints, Ints, Floats]:
    """A matrix in the row-wise form of the solver: starts, columns, values."""
    order = np.argsort(row, kind="stable")
    starts = np.concatenate(([0], np.cumsum(np.bincount(row, minlength=height))))
    return starts, index[order], value[order]


def _solved(model: Any) -> tuple[list[int] | None, bool]:
    """Whole counts, or None; and whether no work was left undone."""
    import highspy

    solver = quiet_solver(mip_rel_gap=0.0, mip_max_nodes=MOST_NODES)
    if highspy.HighsStatus.kError in {solver.passModel(model), solver.run()}:
        raise AssertionError("the program of weights is malformed")
    status, known = solver.getModelStatus(), highspy.HighsModelStatus
    if status in {known.kInfeasible, known.kUnboundedOrInfeasible}:
        return None, True
    if solver.getInfo().primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None, False
    return [round(x) for x in solver.getSolution().col_value], True

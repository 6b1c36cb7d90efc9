"""What is the best that her units can show, and how sure is that?

From the preview, windows of some bands are solved again with their neighbours fixed, from one end
to the other; the whole program, relaxed, gives the bound. Where a relaxed count is no whole number,
a small integer program decides it with all the others fixed. One thread, no clock: the same ask
gives the same answer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from crossfell.base.solver import quiet_solver
from crossfell.search.sketch.asked import Ask, Floats, Ints
from crossfell.search.sketch.preview import preview
from crossfell.search.sketch.program import (
    Program,
    Taste,
    counts_of,
    price_of,
    program,
    shown_of,
)

WINDOW, STEP, AROUND = 10, 5, 2  # bands solved at once, bands to the next, units looked aside
MOST_NODES = 400  # of a small integer program's search
WHOLE = 1e-6  # nearer than this is a whole number
MOST_CELLS = 12_000  # cells × colours of which the whole program is solved unasked

Said = Callable[[str, int, int], bool]  # what, done, of how many; False stops after this


@dataclass(frozen=True, kw_only=True)
class PricedGrid:
    """A grid of colours with its price and what no grid can go below."""

    shown: Ints  # [T, n] number of the colour in each cell
    price: float
    bound: float | None  # None where the whole program was not solved

    @property
    def gap(self) -> float | None:
        """How far above the bound, as a share; nothing means proved best."""
        if self.bound is None:
            return None
        return max(0.0, self.price - self.bound) / max(self.bound, 1e-9)

    @property
    def proved(self) -> bool:
        """Whether it is the best there is."""
        return self.gap is not None and self.gap < 1e-6


def solved(ask: Ask, taste: Taste, said: Said, *, bound: bool | None = None) -> PricedGrid:
    """Solve an ask: preview, windows, bound. `said` hears of each step and can stop it early.

    bound: whether the whole program is solved; of itself up to MOST_CELLS.
    """
    counts = counts_of(preview(ask), len(ask.counts))
    counts, going = in_windows(ask, taste, counts, said)
    whole = bound if bound is not None else np.prod(ask.shape) <= MOST_CELLS
    least = None
    if whole and going and said("the whole at once", 0, 1):
        counts, least = at_once(ask, taste, counts)
    return PricedGrid(shown=shown_of(counts), price=price_of(ask, taste, counts), bound=least)


def in_windows(
    ask: Ask, taste: Taste, counts: Ints, said: Said, bands: tuple[int, int] | None = None
) -> tuple[Ints, bool]:
    """Better counts [T, K, n + 1], window by window; and whether it went to the end.

    bands: only windows that meet bands first to last - 1.
    """
    first, last = bands or (0, len(counts))
    starts = [*range(first, max(last - WINDOW, first) + 1, STEP)]
    if starts[-1] + WINDOW < last:
        starts.append(last - WINDOW)
    for k, start in enumerate(starts):
        if not said("window", k, len(starts)):
            return counts, False
        counts = _window(ask, taste, counts, start, min(start + WINDOW, last))
    return counts, True


def _window(ask: Ask, taste: Taste, counts: Ints, first: int, last: int) -> Ints:
    made = program(ask, taste, first, last, counts, AROUND)
    values, _ = _relaxed(made, interior=False)
    found = _whole(made, values)
    if found is None:
        return counts
    tried = counts.copy()
    tried[first:last, :, 1:-1] = found
    return tried if price_of(ask, taste, tried) < price_of(ask, taste, counts) - 1e-9 else counts


def at_once(ask: Ask, taste: Taste, counts: Ints) -> tuple[Ints, float]:
    """The whole program: counts, at least as good as those given, and the bound."""
    made = program(ask, taste, 0, len(counts), None)
    values, bound = _relaxed(made, interior=True)
    found = _whole(made, values)
    if found is not None:
        tried = counts.copy()
        tried[:, :, 1:-1] = found
        if price_of(ask, taste, tried) < price_of(ask, taste, counts):
            counts = tried
    return counts, bound


def _relaxed(made: Program, *, interior: bool) -> tuple[Floats, float]:
    """Values of the relaxed program and its least cost."""
    solver = _solver(made)
    solver.setOptionValue("solver", "ipm" if interior else "simplex")
    solver.run()
    values = np.array(solver.getSolution().col_value)
    return values, float(solver.getInfo().objective_function_value)


def _whole(made: Program, values: Floats) -> Ints | None:
    """Whole counts [bands, K, n - 1] near relaxed values; None where none were found."""
    size = int(np.prod(made.shape))
    n = np.round(values[:size])
    loose = np.abs(values[:size] - n) > WHOLE
    if loose.any():
        solver = _solver(made, n, loose)
        solver.run()
        if solver.getInfo().primal_solution_status != 2:  # feasible
            return None
        n = np.round(np.array(solver.getSolution().col_value)[:size])
    return n.astype(np.int64).reshape(made.shape)


def _solver(made: Program, fixed: Floats | None = None, loose: Any = None) -> Any:
    import highspy

    solver = quiet_solver(mip_max_nodes=MOST_NODES, mip_rel_gap=0.0)
    model = highspy.HighsLp()
    low, high = made.low.copy(), made.high.copy()
    if fixed is not None:
        low[: len(fixed)][~loose], high[: len(fixed)][~loose] = fixed[~loose], fixed[~loose]
        kinds = np.zeros(len(low), dtype=int)
        kinds[: len(fixed)] = loose
        types = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        model.integrality_ = [types[kind] for kind in kinds.tolist()]
    model.num_col_, model.num_row_ = len(low), len(made.row_low)
    model.col_cost_, model.col_lower_, model.col_upper_ = made.cost, low, high
    model.row_lower_, model.row_upper_ = made.row_low, made.row_high
    model.offset_ = made.constant
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = made.start
    model.a_matrix_.index_, model.a_matrix_.value_ = made.index, made.value
    solver.passModel(model)
    return solver

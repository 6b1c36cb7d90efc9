"""How are bands that each lean only on their neighbours solved for, in one sweep?

The stiffness of a hanging piece is block tridiagonal, 3 × 3 blocks: (x, y, tilt) of each band.
LAPACK's banded Cholesky solves it in time that grows with the number of bands; that it succeeds
proves that the pose is a true minimum. A piece of few bands is solved in plain numbers: it takes
half a millisecond, and the command line starts without SciPy, which takes longer to import.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Columns = list[list[float]]

BANDWIDTH = 5  # below the diagonal
FEW = 200  # rows that are solved in plain numbers
_TRIANGLE = np.tril_indices(3)
_SQUARE = (np.repeat(np.arange(3), 3), np.tile(np.arange(3), 3))


@dataclass(frozen=True, kw_only=True)
class Blocks:
    """A symmetric matrix of 3 × 3 blocks."""

    on: Floats  # [bands, 3, 3]
    off: Floats  # [bands - 1, 3, 3] row: the band above, column: the band below


def banded(blocks: Blocks) -> Floats:
    """The lower band [3 bands, 6], entry [j, i - j]: memory as LAPACK wants it."""
    bands = len(blocks.on)
    lower = np.zeros((bands, 3, BANDWIDTH + 1))
    rows, columns = _TRIANGLE
    lower[:, columns, rows - columns] = blocks.on[:, rows, columns]
    rows, columns = _SQUARE
    lower[:-1, columns, 3 + rows - columns] = blocks.off[:, columns, rows]
    return lower.reshape(3 * bands, BANDWIDTH + 1)


def solved(lower: Floats, right: Floats) -> Floats | None:
    """Solve for right-hand sides [3 bands] or [3 bands, many]; None: not positive definite."""
    if len(lower) <= FEW and right.ndim == 1:
        return _solved_plainly(lower, right)
    from scipy.linalg.lapack import dpbsv

    _, x, info = dpbsv(lower.T, right, lower=1, overwrite_ab=0, overwrite_b=0)
    return x if info == 0 else None


def factored(lower: Floats) -> Callable[[Floats], Floats] | None:
    """What solves for right-hand sides [3 bands], one after another; None: not positive."""
    if len(lower) <= FEW:
        columns = _factored_plainly(lower)
        return None if columns is None else partial(_substituted, columns)
    from scipy.linalg.lapack import dpbtrf, dpbtrs

    factor, info = dpbtrf(lower.T, lower=1, overwrite_ab=0)
    return (lambda right: dpbtrs(factor, right, lower=1)[0]) if info == 0 else None


def _solved_plainly(lower: Floats, right: Floats) -> Floats | None:
    """The same by square-root-free Cholesky, row after row; none when a pivot is not positive."""
    columns = _factored_plainly(lower)
    return None if columns is None else _substituted(columns, right)


def _factored_plainly(lower: Floats) -> Columns | None:
    """Pivots and what is below them, row after row; none when a pivot is not positive.

    The loop over the band is written out: it is the inner loop of every hung shape.
    """
    rows = len(lower)
    columns: Columns = [*lower.tolist(), *([0.0] * 6 for _ in range(BANDWIDTH))]
    for j in range(rows):  # what row j takes from the rows below it
        pivot, a, b, c, d, e = columns[j]
        if not pivot > 0.0:
            return None
        one, two, three, four, five = columns[j + 1 : j + 6]
        share = a / pivot
        one[0] -= share * a
        one[1] -= share * b
        one[2] -= share * c
        one[3] -= share * d
        one[4] -= share * e
        share = b / pivot
        two[0] -= share * b
        two[1] -= share * c
        two[2] -= share * d
        two[3] -= share * e
        share = c / pivot
        three[0] -= share * c
        three[1] -= share * d
        three[2] -= share * e
        share = d / pivot
        four[0] -= share * d
        four[1] -= share * e
        five[0] -= e / pivot * e
    return columns


def _substituted(columns: Columns, right: Floats) -> Floats:
    """Forwards, then backwards."""
    rows = len(columns) - BANDWIDTH
    x: list[float] = [*right.tolist(), *[0.0] * BANDWIDTH]
    for j in range(rows):
        pivot, a, b, c, d, e = columns[j]
        here = x[j] / pivot
        x[j + 1] -= here * a
        x[j + 2] -= here * b
        x[j + 3] -= here * c
        x[j + 4] -= here * d
        x[j + 5] -= here * e
    x[rows:] = [0.0] * BANDWIDTH
    for j in range(rows - 1, -1, -1):
        pivot, a, b, c, d, e = columns[j]
        x[j] = (
            x[j] - a * x[j + 1] - b * x[j + 2] - c * x[j + 3] - d * x[j + 4] - e * x[j + 5]
        ) / pivot
    return np.array(x[:rows])


def _whole(lower: Floats) -> Floats:
    """The whole matrix [rows, rows] from its lower band."""
    rows = len(lower)
    whole = np.zeros((rows, rows))
    for below in range(min(BANDWIDTH + 1, rows)):
        at = np.arange(rows - below)
        whole[at + below, at] = whole[at, at + below] = lower[: rows - below, below]
    return whole


def lowest_eigenvalue(lower: Floats) -> float:
    """Lowest eigenvalue."""
    if len(lower) <= FEW:
        return float(np.linalg.eigvalsh(_whole(lower))[0])
    from scipy.linalg import eig_banded

    values = eig_banded(lower.T, lower=True, eigvals_only=True, select="i", select_range=(0, 0))
    return float(values[0])


def times(blocks: Blocks, x: Floats) -> Floats:
    """The matrix times a vector [bands, 3]."""
    product: Floats = np.einsum("bij,bj->bi", blocks.on, x)
    product[:-1] += np.einsum("bij,bj->bi", blocks.off, x[1:])
    product[1:] += np.einsum("bji,bj->bi", blocks.off, x[:-1])
    return product

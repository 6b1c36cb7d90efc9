"""How are bands that each lean only on their neighbours solved for, in one sweep?

The stiffness of a hanging piece is block tridiagonal, 3 × 3 blocks: (x, y, tilt) of each band.
LAPACK's banded Cholesky solves it in time that grows with the number of bands; that it succeeds
proves that the pose is a true minimum.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

BANDWIDTH = 5  # below the diagonal
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
    from scipy.linalg.lapack import dpbsv

    _, x, info = dpbsv(lower.T, right, lower=1, overwrite_ab=0, overwrite_b=0)
    return x if info == 0 else None


def lowest_eigenvalue(lower: Floats) -> float:
    """Lowest eigenvalue."""
    from scipy.linalg import eig_banded

    values = eig_banded(lower.T, lower=True, eigvals_only=True, select="i", select_range=(0, 0))
    return float(values[0])


def times(blocks: Blocks, x: Floats) -> Floats:
    """The matrix times a vector [bands, 3]."""
    product: Floats = np.einsum("bij,bj->bi", blocks.on, x)
    product[:-1] += np.einsum("bij,bj->bi", blocks.off, x[1:])
    product[1:] += np.einsum("bji,bj->bi", blocks.off, x[:-1])
    return product

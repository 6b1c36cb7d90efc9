"""How far do units give way at one meeting when they press on each other at another?

A unit in a span is a beam of unit length held flat at both ends. With few meetings the flexibility
is a full matrix by a closed formula; with many it stays sparse: cubic elements from meeting to
meeting, unknowns height and slope, so that the system grows as the meetings do.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from crossfell.order.model import Floats, Ints

AT_ONCE = 4_000  # lines whose knots are looked at in one go: they fit near the processor; measured
NEAR = 1e-3  # of the span: meetings of one unit nearer than this share a knot in the sparse system


def deflection(at: Floats, load_at: Floats) -> Floats:
    """Height at `at` of a clamped beam of unit length and stiffness under a unit load.

    w = s² (1−t)² (3t − s − 2ts)/6 for s ≤ t, mirrored for s > t.
    Source: published beam table (both ends fixed, one load). Checked: 1/192 in the middle.
    """
    far = at > load_at
    s = np.where(far, 1 - at, at)
    t = np.where(far, 1 - load_at, load_at)
    height: Floats = s**2 * (1 - t) ** 2 * (3 * t - s - 2 * t * s) / 6
    return height


def bent(line: Ints, at: Floats, load: Floats, first: Ints) -> tuple[Floats, Floats]:
    """Heights and slopes (mm) at the knots of clamped beams under their loads.

    z = M s²/2 − R s³/6 + Σ P (s − t)³/6 over the loads P at t < s, with M = Σ P t (1 − t)² and
    R = Σ P (1 − t)² (1 + 2 t): the formula of `deflection`, summed in one pass. `line`, `at` and
    `load` are [knots], sorted by line and height; line l begins at knot first[l].
    """
    z, dz = np.empty(len(line)), np.empty(len(line))
    for start in range(0, len(first) - 1, AT_ONCE):
        upto = first[start : start + AT_ONCE + 1]
        part = slice(int(upto[0]), int(upto[-1]))
        found = _bent(line[part] - start, at[part], load[part], upto - upto[0])
        z[part], dz[part] = found
    return z, dz


def _bent(line: Ints, at: Floats, load: Floats, first: Ints) -> tuple[Floats, Floats]:
    """The same for a few lines."""
    lines = len(first) - 1
    at2 = at * at
    at3 = at2 * at  # a power takes many times as long
    rest = load * (1 - at) ** 2
    moment = np.bincount(line, rest * at, minlength=lines)[line]
    shear = np.bincount(line, rest * (1 + 2 * at), minlength=lines)[line]
    p, pt, ptt, pttt = (_before(load * power, line, first) for power in (1.0, at, at2, at3))
    z = moment * at2 / 2 - shear * at3 / 6
    z += (p * at3 - 3 * pt * at2 + 3 * ptt * at - pttt) / 6
    dz = moment * at - shear * at2 / 2 + (p * at2 - 2 * pt * at + ptt) / 2
    at_band = (at <= 0) | (at >= 1)
    return np.where(at_band, 0.0, z), np.where(at_band, 0.0, dz)


def _before(value: Floats, line: Ints, first: Ints) -> Floats:
    """Sum of what stands before each knot on its own line."""
    total = np.concatenate(([0.0], np.cumsum(value)))
    before: Floats = total[:-1] - total[first[:-1]][line]
    return before


class DenseFlexibility:
    """Flexibility as a full matrix [meetings, meetings]."""

    def __init__(self, over: Ints, under: Ints, at: Floats, stiffness: Floats) -> None:
        flex: Floats = deflection(at[:, None], at[None, :])
        soft: Floats = 1 / stiffness
        sign = (over[:, None] == over) * soft[over] + (under[:, None] == under) * soft[under]
        sign -= (over[:, None] == under) * soft[under] + (under[:, None] == over) * soft[over]
        matrix: Floats = flex * sign
        self.matrix = matrix

    def times(self, forces: Floats) -> Floats:
        """S λ."""
        return self.matrix @ forces

    def factored(self, diagonal: Floats) -> Any:
        """A way to solve (S + diag) x = b again and again."""
        inverse = np.linalg.inv(self.matrix + np.diag(diagonal))
        return inverse.__matmul__

    def touching(self, which: Ints, wanted: Floats) -> Floats:
        """Forces of these meetings alone that give them the distances wanted."""
        part = self.matrix[np.ix_(which, which)]
        return np.asarray(np.linalg.lstsq(part, wanted, rcond=1e-12)[0], dtype=np.float64)


class SparseFlexibility:
    """Flexibility by sparse beams; every system has a fixed number of entries per meeting."""

    def __init__(self, over: Ints, under: Ints, at: Floats, stiffness: Floats) -> None:
        from scipy.sparse import coo_array, csc_array
        from scipy.sparse.linalg import splu

        knot, beams, self._unknowns = _elements(over, under, at, stiffness)
        self._count = len(at)
        rows, columns, values = beams
        n, m = self._unknowns, self._count
        self._stiff = csc_array(coo_array((values, (rows, columns)), shape=(n, n)))
        each = np.arange(m)
        self._meets: Any = csc_array(
            coo_array(
                (
                    np.concatenate((np.ones(m), -np.ones(m))),
                    (np.concatenate((each, each)), 2 * knot),
                ),
                shape=(m, n),
            )
        )
        self._free: Any = splu(self._stiff, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0)

    def times(self, forces: Floats) -> Floats:
        """S λ."""
        moved: Floats = self._meets @ self._free.solve(self._meets.T @ forces)
        return moved

    def factored(self, diagonal: Floats) -> Any:
        """A way to solve (S + diag) x = b again and again."""
        return self._solver(self._meets, diagonal, pivot=0.0)

    def touching(self, which: Ints, wanted: Floats) -> Floats:
        """Forces of these meetings alone that give them the distances wanted."""
        solve = self._solver(self._meets[which], np.full(len(which), 1e-14), pivot=1.0)
        found: Floats = solve(wanted)
        return found

    def _solver(self, meets: Any, diagonal: Floats, *, pivot: float) -> Any:
        """Solve [−K Mᵀ; M D] [z; x] = [0; b], which never forms S."""
        from scipy.sparse import block_array, diags_array
        from scipy.sparse.linalg import splu

        whole = block_array([[-self._stiff, meets.T], [meets, diags_array(diagonal)]], format="csc")
        parts = splu(
            whole,
            permc_spec="MMD_AT_PLUS_A",
            diag_pivot_thresh=pivot,
            options={"SymmetricMode": not pivot},
        )
        n = self._unknowns

        def solve(right: Floats) -> Floats:
            found: Floats = parts.solve(np.concatenate((np.zeros(n), right)))[n:]
            return found

        return solve


def _elements(
    over: Ints, under: Ints, at: Floats, stiffness: Floats
) -> tuple[Ints, tuple[Ints, Ints, Floats], int]:
    """Knot of each meeting on its upper, then its lower unit; entries of K; number of unknowns."""
    unit = np.concatenate((over, under))
    share = np.concatenate((at, at))
    order = np.lexsort((share, unit))
    unit_sorted, at_sorted = unit[order], share[order]
    new = np.ones(len(order), dtype=bool)
    new[1:] = (np.diff(unit_sorted) != 0) | (np.diff(at_sorted) > NEAR)
    number = np.cumsum(new) - 1
    knot = np.empty(len(order), dtype=np.int64)
    knot[order] = number
    knot_at, knot_unit = at_sorted[new], unit_sorted[new]
    first = np.ones(len(knot_at), dtype=bool)
    first[1:] = np.diff(knot_unit) != 0
    last = np.append(first[1:], True)
    index = np.arange(len(knot_at))
    left = np.concatenate((np.where(first, -1, index - 1), index[last]))
    right = np.concatenate((index, np.full(last.sum(), -1)))
    start = np.where(left < 0, 0.0, knot_at[left])
    end = np.where(right < 0, 1.0, knot_at[right])
    bend = stiffness[np.where(right < 0, knot_unit[left], knot_unit[right])]
    return knot, _beam_entries(left, right, end - start, bend), 2 * len(knot_at)


def _beam_entries(
    left: Ints, right: Ints, length: Floats, bend: Floats
) -> tuple[Ints, Ints, Floats]:
    """Entries of K: cubic beam elements, unknowns 2 i (height) and 2 i + 1 (slope) of knot i.

    Source: published, every finite-element text: 12/l³, 6/l², 4/l, 2/l times the stiffness.
    """
    l1, l2, l3 = length, length**2, length**3
    table = [
        [12 / l3, 6 / l2, -12 / l3, 6 / l2],
        [6 / l2, 4 / l1, -6 / l2, 2 / l1],
        [-12 / l3, -6 / l2, 12 / l3, -6 / l2],
        [6 / l2, 2 / l1, -6 / l2, 4 / l1],
    ]
    where = [2 * left, 2 * left + 1, 2 * right, 2 * right + 1]
    real = [left >= 0, left >= 0, right >= 0, right >= 0]
    rows, columns, values = [], [], []
    for i in range(4):
        for j in range(4):
            both = real[i] & real[j]
            rows.append(where[i][both])
            columns.append(where[j][both])
            values.append((bend * table[i][j])[both])
    return np.concatenate(rows), np.concatenate(columns), np.concatenate(values)

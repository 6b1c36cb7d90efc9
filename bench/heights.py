"""How fast are heights, against a general solver of quadratic programs?

The program of each span, least bending with every meeting its distance apart, is solved by clarabel
and by our own method; energies are compared. Then
how the time grows with the crossings of one span, and the stages from paths to the quote. Prints
milliseconds and ratios of one run. Asserts nothing.
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path
from statistics import median

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # small matrices: threads only wait

import clarabel
import numpy as np
from scipy.sparse import block_diag, csc_array, triu

from crossfell.draft.files import read_file
from crossfell.paths.active_set import worked_out
from crossfell.paths.beams import SparseFlexibility
from crossfell.paths.heights import TYPICAL, pressing_of
from crossfell.paths.lines import lines_of
from crossfell.paths.meetings import meetings_of
from crossfell.paths.thickness import section_of, thickness_mm
from crossfell.piece import Piece

TOY = "--toy" in sys.argv  # small, to see that it runs
EXAMPLES = Path(__file__).resolve().parent.parent / "examples"


def timed(what, times=1):
    spent = []
    for _ in range(times):
        start = time.perf_counter()
        made = what()
        spent.append(time.perf_counter() - start)
    return median(spent) * 1e3, made


def task_of(piece):
    """Meetings, distances and stiffness, as the stage makes them."""
    x, section = piece.paths.x_mm, section_of(piece.draft)
    meetings = meetings_of(piece.order, x)
    k = meetings.span
    thick = [
        thickness_mm(
            section, unit, piece.paths.narrow_mm[k, unit], piece.paths.half_turns[k, unit],
            meetings.at,
        )
        for unit in (meetings.over, meetings.under)
    ]  # fmt: skip
    return x, meetings, (thick[0] + thick[1]) / 2, section.stiffness


def ours(task):
    x, meetings, distance, stiffness = task
    pressing = pressing_of(meetings, distance, stiffness)
    return pressing, lines_of(meetings, pressing.force, stiffness, x)


def program(over, under, at, stiffness):
    """K and A of one span: cubic beams from meeting to meeting."""
    many = SparseFlexibility(over, under, at, stiffness)
    return many._stiff, many._meets


def modelled(spans):
    """Energy of every (K, A, distance): least zᵀ K z / 2 with A z ≥ distance."""
    energy, settings = 0.0, clarabel.DefaultSettings()
    settings.verbose = False
    for K, A, distance in spans:
        cones = [clarabel.NonnegativeConeT(len(distance))]
        program = triu(csc_array(K), format="csc"), np.zeros(K.shape[0]), -csc_array(A), -distance
        energy += clarabel.DefaultSolver(*program, cones, settings).solve().obj_val
    return energy


def whole(spans):
    """All spans in one problem."""
    K = csc_array(block_diag([K for K, _, _ in spans]))
    A = csc_array(block_diag([A for _, A, _ in spans]))
    return modelled([(K, A, np.concatenate([d for _, _, d in spans]))])


def energy_of(pressing, task):
    """Half of force × distance: what the bending stores (force only where units touch)."""
    return float(pressing.force @ task[2]) / 2


NAMES = ("02-tideline/tideline.toml", "03-long-harvest/long-harvest.toml")
for name in NAMES[: 1 if TOY else None]:
    piece = Piece(read_file(EXAMPLES / name))
    task = task_of(piece)
    _, meetings, distance, stiffness = task
    ours(task)
    own, (pressing, _) = timed(lambda task=task: ours(task), 9)
    spans = []
    setup = time.perf_counter()
    for k in np.unique(meetings.span):
        m = meetings.span == k
        K, A = program(meetings.over[m], meetings.under[m], meetings.at[m], stiffness)
        spans.append((K, A, distance[m]))
    setup = (time.perf_counter() - setup) * 1e3
    each, energy = timed(lambda spans=spans: modelled(spans), 3)
    once, _ = timed(lambda spans=spans: whole(spans), 3)
    print(
        f"{Path(name).stem}: {len(distance)} crossings in {len(spans)} spans; ours {own:.2f} ms "
        f"(residual {pressing.residual:.0e}); clarabel span by span {each:.0f} ms "
        f"({each / own:.0f} x), all in one {once:.0f} ms ({once / own:.0f} x), without building "
        f"its matrices ({setup:.0f} ms); energy {energy / energy_of(pressing, task) - 1:+.1e}"
    )

print("\none span, n units through n units:  crossings, ms, µs per crossing, iterations")
for n in (4,) if TOY else (4, 8, 12, 16, 24, 32, 48):
    i, j = (a.ravel() for a in np.meshgrid(np.arange(n), np.arange(n), indexing="ij"))
    at = (n + j - i) / (2 * n)
    over, under = i, n + j

    def solve(over=over, under=under, at=at, n=n):
        return worked_out(over, under, at, np.full(len(at), 0.4), np.ones(2 * n), TYPICAL)

    solve()
    spent, found = timed(solve, 3)
    print(f"  {n * n:5d}  {spent:8.1f}  {spent / n / n * 1e3:7.1f}  {found.iterations}")

print("\nlong harvest, warm:")
draft = read_file(EXAMPLES / "03-long-harvest/long-harvest.toml")
total = 0.0
for _ in range(2):
    piece = Piece(draft)
    stages = ("order", "paths", "bobbins", "loom", "amounts", "winding", "plan")
    rows = [
        (stage, timed(lambda piece=piece, stage=stage: getattr(piece, stage))[0])
        for stage in stages
    ]
    rows.append(("quote", timed(piece.quote)[0]))
for stage, spent in rows:
    print(f"  {stage:8} {spent:6.1f} ms")
own = sum(spent for stage, spent in rows if stage not in {"order", "plan"})
print(f"  paths to quote, without order and plan: {own:.1f} ms")

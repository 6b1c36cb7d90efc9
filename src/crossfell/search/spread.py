"""Between which limits does each unit pull, when lengths come out a little other than drawn?

The pull of a single unit hangs on tenths of a millimetre; drift and tilt do not. So the piece is
hung many times, each time with the length of every end wrong by a little, at random (normal, as a
share of the length), and what comes out is shown as a range. The same seed gives the same ranges,
on any number of cores. Source: Monte Carlo; the size of the error is common practice, no source, or
measured.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

import numpy as np

from crossfell.piece import Piece
from crossfell.statics.balance import Rig
from crossfell.statics.chance import errors_of, factors_of
from crossfell.statics.newton import rest_of
from crossfell.statics.rig import with_errors
from crossfell.statics.springs import Floats
from crossfell.statics.stage import unit_sums

RUNS = 200
LIMITS = (5.0, 50.0, 95.0)  # per cent of the runs
CHUNK = 10


@dataclass(frozen=True, kw_only=True)
class Spread:
    """Ranges over plausible errors of length; weaving order. First index: low, middle, high."""

    runs: int
    failed: int  # runs that did not come to rest; they are left out
    error: float  # standard deviation, as a share of the length
    tension_n: Floats  # [3, spans, units]
    slack_share: Floats  # [spans, units] share of runs in which all of a unit's ends hang slack
    drift_mm: Floats  # [3, bands]
    tilt_rad: Floats  # [3, bands]
    cords_n: Floats  # [3, cords]


def spread_of(
    piece: Piece,
    *,
    runs: int = RUNS,
    error: float | None = None,
    seed: int = 1,
    cores: int | None = None,
    done: Callable[[int], None] = lambda _: None,
) -> Spread:
    """Hang the piece `runs` times. `error` is her own if nothing is said; `done` counts runs.

    `cores` None takes all; 1 stays in this process.
    """
    if error is None:
        error = piece.draft.warp.length_error if piece.draft.warp else 0.0
    hung = piece.hung
    one = partial(_some, hung.rig, hung.rest.pose, factors_of(piece.draft), error, seed)
    chunks = [range(i, min(i + CHUNK, runs)) for i in range(0, runs, CHUNK)]
    found: list[tuple[Floats, ...] | None] = []
    cores = min(cores or os.cpu_count() or 1, len(chunks))
    if cores > 1:
        with ProcessPoolExecutor(cores) as pool:
            for part in pool.map(one, chunks):
                found += part
                done(len(part))
    else:
        for chunk in chunks:
            found += one(chunk)
            done(len(chunk))
    rested = [run for run in found if run is not None]
    return _ranges(piece, rested, runs=runs, error=error)


def _ranges(piece: Piece, rested: list[tuple[Floats, ...]], *, runs: int, error: float) -> Spread:
    down = piece.draft.on_wall().downwards
    if not rested:
        raise ArithmeticError("no run came to rest")
    tension, slack, pose, cords = (np.array([run[i] for run in rested]) for i in range(4))
    limits = partial(np.percentile, q=LIMITS, axis=0)
    return Spread(
        runs=runs,
        failed=runs - len(rested),
        error=error,
        tension_n=limits(tension)[:, down],
        slack_share=(slack > 0).mean(axis=0)[down],
        drift_mm=limits(pose[:, :, 0])[:, down],
        tilt_rad=limits(pose[:, :, 2])[:, down],
        cords_n=limits(cords),
    )


def _some(
    rig: Rig, start: Floats, factors: Floats, error: float, seed: int, runs: range
) -> list[tuple[Floats, ...] | None]:
    return [_one(rig, start, factors, error, (seed, run)) for run in runs]


def _one(
    rig: Rig, start: Floats, factors: Floats, error: float, seed: tuple[int, int]
) -> tuple[Floats, ...] | None:
    wrong = with_errors(rig, errors_of(factors, rig.bands - 1, error, seed))
    rest = rest_of(wrong, start)
    if not rest.converged:
        return None
    tension, slack, _ = unit_sums(wrong, rest, len(factors))
    cords = rest.tension_n[1][0] if rig.cords is not None else np.zeros(0)
    return tension, slack, rest.pose, cords

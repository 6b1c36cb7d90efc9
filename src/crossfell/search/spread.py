"""Between which limits does each unit pull, when lengths come out a little other than drawn?

Who pulls how hard, and who bows, hangs on tenths of a millimetre; drift and tilt do not. So
the piece is hung many times, each time with the length of every end wrong by a little, at random
(normal, as a share of the length), and what comes out is shown as a range. The same seed gives the
same ranges, on any number of cores.
Source: Monte Carlo; the size of the error is common practice, no source, or measured.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from crossfell.piece import Piece
from crossfell.search.workers import done_by, workers
from crossfell.statics.bending import Bendable
from crossfell.statics.bow import bow_mm
from crossfell.statics.chance import errors_of, factors_of
from crossfell.statics.newton import rest_of
from crossfell.statics.rig import with_errors
from crossfell.statics.springs import Floats

RUNS = 50  # the share of bowing units is then sure to one or two in a hundred
LIMITS = (5.0, 50.0, 95.0)  # per cent of the runs
CHUNK = 10
SEED = 1


@dataclass(frozen=True, kw_only=True)
class Spread:
    """Ranges over plausible errors of length; weaving order. First index: low, middle, high."""

    runs: int
    failed: int  # runs that did not come to rest; they are left out
    error: float  # standard deviation of one length, as a share
    tension_n: Floats  # [3, spans, units] with rods that bend
    bows_share: Floats  # [spans, units] share of runs in which a unit bows so far that it is seen
    bowing: Floats  # [3] share of all units that bow in a piece
    bow_mm: Floats  # [spans, units] how far a unit bows in the mean of the runs
    drift_mm: Floats  # [3, bands]
    tilt_rad: Floats  # [3, bands]
    cords_n: Floats  # [3, cords]


def spread_of(
    piece: Piece,
    *,
    runs: int = RUNS,
    error: float | None = None,
    seed: int = SEED,
    cores: int | None = None,
    on: str = "",
    done: Callable[[int], None] = lambda _: None,
) -> Spread:
    """Hang the piece `runs` times. `error` is her own if nothing is said; `done` counts runs.

    `cores` None takes all; 1 stays in this process; `on` is the address of a cluster.
    Errors: ArithmeticError when none rests; NoWorkersError.
    """
    if error is None:
        error = piece.draft.warp.length_error if piece.draft.warp else 0.0
    one = partial(_some, piece.bendable, factors_of(piece.draft), error, seed)
    chunks = [range(i, min(i + CHUNK, runs)) for i in range(0, runs, CHUNK)]
    with workers(on, jobs=len(chunks), cores=cores, few=2) as executor:
        parts = done_by(executor, one, chunks, lambda k: done(len(chunks[k - 1])))
    found = [run for part in parts for run in part]
    rested = [run for run in found if run is not None]
    return _ranges(piece, rested, runs=runs, error=error)


@dataclass(frozen=True)
class HungSample:
    """One piece with errors: tension and slack with bent rods, pose with stiff ones."""

    tension_n: Floats
    slack_mm: Floats
    pose: Floats  # from the top
    cords_n: Floats


def _ranges(piece: Piece, rested: list[HungSample], *, runs: int, error: float) -> Spread:
    down = piece.draft.on_wall().downwards
    if not rested:
        raise ArithmeticError("no run came to rest")
    bow = bow_mm(piece.paths.chord_mm, np.array([run.slack_mm for run in rested]))
    seen = bow > piece.draft.hang.bows_mm
    pose = np.array([run.pose for run in rested])
    limits = partial(np.percentile, q=LIMITS, axis=0)
    return Spread(
        runs=runs,
        failed=runs - len(rested),
        error=error,
        tension_n=limits(np.array([run.tension_n for run in rested])),
        bows_share=seen.mean(axis=0),
        bowing=limits(seen.mean(axis=(1, 2))),
        bow_mm=bow.mean(axis=0),
        drift_mm=limits(pose[:, :, 0])[:, down],
        tilt_rad=limits(pose[:, :, 2])[:, down],
        cords_n=limits(np.array([run.cords_n for run in rested])),
    )


def _some(
    bendable: Bendable, factors: Floats, error: float, seed: int, runs: range
) -> list[HungSample | None]:
    return [_one(bendable, factors, error, (seed, run)) for run in runs]


def _one(
    bendable: Bendable, factors: Floats, error: float, seed: tuple[int, int]
) -> HungSample | None:
    rig, rest = bendable.hung.rig, bendable.hung.rest
    longer = errors_of(factors, rig.bands - 1, error, seed)
    rested = rest_of(with_errors(rig, longer), rest.pose)
    natural = (rig.spans.long - rig.spans.e0).reshape(longer.shape)
    bent = bendable.bent(-longer * natural)
    if not (rested.converged and bent.converged):
        return None
    return HungSample(bent.tension_n, bent.slack_mm, rested.pose, bent.cords_n)

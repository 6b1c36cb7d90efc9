"""Where do rods and units come to rest?

Mixed Newton with carried tensions. A true Newton step along the direction in which a piece swings
makes yarn longer by d²/2L, and yarn is stiff: the energy forbids more than some millimetres, and
the piece would crawl to rest. So forces are true, but what stiffens the springs sideways is a
tension carried from the straight-line guess of the step before, and a watchdog goes back to the
best pose and makes true Newton steps when that does not pay. Where many ends change between slack
and taut the interior point of interior.py takes over; a start from soft yarn is the last resort.
Source: docs/mechanics.md. Checked: tests/outside/test_hung_*.py.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from crossfell.statics.balance import Balance, Carried, Rig, balance_of, ends_of, room_for
from crossfell.statics.banded import Blocks, banded, lowest_eigenvalue, solved
from crossfell.statics.hanging import Hanging
from crossfell.statics.interior import started, to_rest
from crossfell.statics.springs import Floats, Pull, Springs, foreseen

ENOUGH = 1e-9  # force or moment left, as a share of the weight
MOST_STEPS = 25  # of mixed Newton, before the interior point
FEW_SPRINGS = 2000  # with no more the interior point is soon tried: its steps cost little there
MOST_AFTER = 40  # of mixed Newton from where yarn was soft
MOST_FALLBACK = 400  # for each stage of the fallback
GREATEST_TURN = 0.2  # rad, of a band in one step
# of the interior point: most steps, times the usual slackness, greatest turn (rad) in a step
STAGES = ((25, 1.0, 0.3), (50, 10.0, 0.3), (80, 1.0, 0.6), (80, 100.0, 0.3), (80, 10.0, 0.1))
PATIENCE = 3  # steps without a lower energy before the watchdog acts


@dataclass(frozen=True, kw_only=True)
class Rest:
    """Where the bands came to rest, and how surely. Poses count bands from the top."""

    pose: Floats  # [bands, 3]
    tension_n: Carried  # parallel to `Rig.springs`
    stretch_mm: Carried  # elongation; < 0: slack by so much
    residual: float  # greatest force or moment / reach left, as a share of the weight
    steps: int
    converged: bool
    fallback: bool  # the soft start was needed
    energy: float  # N mm
    stiffness: Blocks  # exact, at rest


@dataclass
class _Way:
    """Where a solution has got to: what every step reads and changes."""

    rig: Rig
    pose: Floats
    pulls: tuple[Pull, ...]
    mu: float = 0.0
    steps: int = 0


def rest_of(rig: Rig, start: Floats | None = None) -> Rest:
    """Let a rig come to rest, from its drafted pose or from `start` [bands, 3]."""
    pose = np.zeros((rig.bands, 3)) if start is None else np.array(start)
    way = _Way(rig, pose, room_for(rig))
    soft, hasty = False, sum(s.k.size for s in rig.springs) <= FEW_SPRINGS
    rests = _mixed(way, first_carried(rig), MOST_STEPS, hasty=hasty)
    if not rests and not _interior(way, pose):
        soft = True
        if not _from_soft(way):
            balance_of(rig, way.pose, None, way.pulls)
            _mixed(way, _true_tensions(way), MOST_AFTER)
    now = balance_of(rig, way.pose, None, way.pulls)
    residual = residual_of(rig, now.gradient)
    return Rest(pose=way.pose, tension_n=_true_tensions(way),
                stretch_mm=tuple(pulled.e for pulled in way.pulls), residual=residual,
                steps=way.steps, converged=residual < ENOUGH,
                fallback=soft, energy=now.energy, stiffness=now.blocks)  # fmt: skip


def _interior(way: _Way, pose: Floats) -> bool:
    """Interior point from `pose`, more carefully each time; whether it came to rest."""
    tension = np.concatenate([part.ravel() for part in first_carried(way.rig)])
    for most, apart, turn in STAGES:
        problem = Hanging(way.rig, turn)
        state = started(problem, pose.ravel(), tension, apart=apart)
        done = to_rest(problem, state, most=most, enough=ENOUGH)
        way.steps += state.steps
        if done:
            way.pose = state.q.reshape(-1, 3)
            return True
    return False


def residual_of(rig: Rig, gradient: Floats) -> float:
    """Greatest force, or moment over reach, as a share of the weight."""
    scaled = np.abs(gradient) / (1.0, 1.0, rig.reach_mm)
    return float(scaled.max()) / rig.total_n


def softest_n_per_mm(rig: Rig, stiffness: Blocks) -> float:
    """Lowest eigenvalue of the stiffness, tilts counted as lengths at the reach of the arms."""
    scale = np.array([1.0, 1.0, 1 / rig.reach_mm])
    free = slice(1, None) if rig.cords is None else slice(None)
    on = stiffness.on[free] * scale[:, None] * scale
    off = stiffness.off[free] * scale[:, None] * scale
    return lowest_eigenvalue(banded(Blocks(on=on, off=off)))


def moved_by(rig: Rig, stiffness: Blocks, force: Floats) -> Floats | None:
    """Change of pose for forces (N, N, N mm) [bands, 3]; None when nothing holds the piece."""
    if rig.cords is None:
        force = np.concatenate([np.zeros((1, 3)), force[1:]])
    x = solved(banded(stiffness), force.ravel())
    return None if x is None else x.reshape(-1, 3)


def _mixed(way: _Way, carried: Carried, most: int, *, hasty: bool = False) -> bool:
    """Mixed Newton with its watchdog; whether it came to rest.

    `hasty` gives up as soon as no fewer ends change between slack and taut than a step before.
    """
    rig, last = way.rig, way.steps + most
    other = tuple(np.empty_like(tension) for tension in carried)
    best = (np.inf, way.pose.copy())
    since, newton_steps = 0, 1
    taut, changed = _taut(way), np.inf
    while way.steps < last:
        now = balance_of(rig, way.pose, carried, way.pulls)
        if residual_of(rig, now.gradient) < ENOUGH:
            return True
        was, taut = taut, _taut(way)
        fewer = int((was != taut).sum())
        if hasty and 0 < changed <= fewer:
            return False
        changed = fewer if way.steps > 1 else np.inf
        if now.energy < best[0] - now.noise:
            best, since = (now.energy, way.pose.copy()), 0
        else:
            since += 1
        if since > PATIENCE:
            way.pose = best[1].copy()
            if _true_newton(way, newton_steps, ENOUGH):
                return True
            now = balance_of(rig, way.pose, None, way.pulls)
            carried = _true_tensions(way)
            best, since, newton_steps = (now.energy, way.pose.copy()), 0, newton_steps + 1
        step = _downhill(way, now)
        share = min(1.0, GREATEST_TURN / max(float(np.abs(step[:, 2]).max()), 1e-300))
        _carry(way, step, share, other)
        carried, other = other, carried
        way.pose = way.pose + share * step
        way.steps += 1
    return False


def _carry(way: _Way, step: Floats, share: float, into: Carried) -> None:
    """Tensions to carry into the next step: those of the straight-line guess, none below zero."""
    steps, ends = ends_of(way.rig, step), ends_of(way.rig, way.pose)
    for i, (springs, (above, below)) in enumerate(zip(way.rig.springs, ends, strict=True)):
        to = foreseen(springs, (above[:, 2], below[:, 2]), steps[i], way.pulls[i], into[i])
        np.multiply(to, share, out=to)
        np.add(to, way.pulls[i].e, out=to)
        np.maximum(to, 0.0, out=to)
        np.multiply(to, springs.k, out=to)


def _taut(way: _Way) -> NDArray[np.bool_]:
    """Which springs are taut [springs]."""
    return np.concatenate([pulled.e.ravel() >= 0.0 for pulled in way.pulls])


def _true_tensions(way: _Way) -> Carried:
    pairs = zip(way.rig.springs, way.pulls, strict=True)
    return tuple(springs.k * np.maximum(pulled.e, 0.0) for springs, pulled in pairs)


def first_carried(rig: Rig) -> Carried:
    """Each span's share of what hangs below it, even over its springs."""
    total = rig.total_n
    below = total - np.cumsum(rig.weight_n)[:-1]
    spans = np.repeat(below[:, None] / rig.spans.shape[1], rig.spans.shape[1], axis=1)
    if rig.cords is None:
        return (spans,)
    return spans, np.full(rig.cords.shape, total / rig.cords.shape[1])


def _downhill(way: _Way, now: Balance) -> Floats:
    """A Newton step; Levenberg's μ is raised while the stiffness is not positive."""
    floor = 1e-11 * way.rig.total_n
    scale = np.array([1.0, 1.0, way.rig.reach_mm**2])
    gradient = now.gradient.ravel()
    for _ in range(100):
        blocks = now.blocks
        if way.mu:
            blocks = replace(blocks, on=blocks.on + way.mu * np.diag(scale))
        x = solved(banded(blocks), -gradient)
        if x is not None and np.dot(gradient, x) < 0 and np.isfinite(x).all():
            way.mu = way.mu / 4 if way.mu > floor else 0.0
            return x.reshape(-1, 3)
        way.mu = max(4 * way.mu, floor)
    downhill: Floats = -now.gradient / (max(way.mu, floor) * scale)
    return downhill


def _true_newton(way: _Way, most: int, enough: float) -> bool:
    """True Newton steps that never raise the energy (Armijo's rule)."""
    now = balance_of(way.rig, way.pose, None, way.pulls)
    for _ in range(most):
        if residual_of(way.rig, now.gradient) < enough:
            return True
        now = _lower(way, now)
        way.steps += 1
    return residual_of(way.rig, now.gradient) < enough


def _lower(way: _Way, now: Balance) -> Balance:
    """One step, halved until the energy falls by enough; without one, μ is raised instead."""
    step, start = _downhill(way, now), way.pose
    share = min(1.0, GREATEST_TURN / max(float(np.abs(step[:, 2]).max()), 1e-300))
    slope = float(np.dot(now.gradient.ravel(), step.ravel()))
    for _ in range(60):
        way.pose = start + share * step
        tried = balance_of(way.rig, way.pose, None, way.pulls)
        if tried.energy <= now.energy + 1e-4 * share * slope + now.noise + tried.noise:
            return tried
        share /= 2
    way.pose = start
    way.mu = max(4 * way.mu, 1e-9 * way.rig.total_n)
    return balance_of(way.rig, start, None, way.pulls)


def _from_soft(way: _Way) -> bool:
    """Start with yarn so soft that the piece settles easily, and stiffen it tenfold by stages."""
    hard = way.rig
    height = float(np.mean(np.abs(hard.spans.dy))) or 1.0
    along = float(hard.spans.k.sum()) / hard.spans.shape[0]
    soft = min(1.0, hard.total_n / max(0.02 * height * along, 1e-300))
    way.pose = np.zeros_like(way.pose)
    while True:
        way.rig, way.mu = _softened(hard, soft), 0.0
        done = _true_newton(way, MOST_FALLBACK, ENOUGH if soft >= 1.0 else 1e-4)
        if soft >= 1.0:
            break
        soft = min(1.0, 10 * soft)
    way.rig, way.mu = hard, 0.0
    return done


def _softened(rig: Rig, by: float) -> Rig:
    def soft(springs: Springs) -> Springs:
        return replace(springs, k=springs.k * by)

    cords = None if rig.cords is None else soft(rig.cords)
    return replace(rig, spans=soft(rig.spans), cords=cords)

"""How does what only pulls come to rest in few steps, however many ends hang slack?

Primal-dual interior point: every spring carries a tension N > 0 and a slackness s > 0 of its own,
and e is its elongation. At rest

    g + Aᵀ N = 0     forces balance, A how elongations change with the pose
    s − N/k + e = 0  a taut spring pulls k e, a slack one is s too long
    N s = μ          which is led to nothing

Eliminating N and s leaves the stiffness of springs D = N/(s + N/k) along themselves. Each step
predicts, then corrects (Mehrotra), with one factor. Where the taut springs stay the same from step
to step, Newton's method on those alone ends it exactly.
Source: Mehrotra, SIAM J. Optim. 2 (1992) 575–601 (from memory); derived in docs/mechanics.md.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from crossfell.statics.springs import Floats

BOUNDARY = 0.995  # of the way to N = 0 or s = 0
SAME = 1e-3  # of the springs may change between taut and slack before the end is tried
LONG = 0.5  # a step that long shows that the pose is near
MOST_END = 4
Solve = Callable[[Floats], Floats]


class Problem(Protocol):
    """Springs on something that can move; q is where it is."""

    flexibility: Floats  # [springs] 1/k

    def look(self, q: Floats, /) -> Floats:
        """Elongations [springs] at q; what follows is taken there."""

    def left(self, tension: Floats, /) -> Floats:
        """Forces left over [unknowns], with these tensions."""

    def along(self, step: Floats, /) -> Floats:
        """Change of the elongations [springs] by a step."""

    def factor(self, along: Floats, tension: Floats, /) -> Solve | None:
        """Solve with these stiffnesses along the springs; None: not positive, tried for long."""

    def most(self, step: Floats, /) -> float:
        """Share of a step that may be made."""

    def residual(self, left: Floats, /) -> float:
        """How much force is left, as a share of the weight."""


@dataclass
class Iterate:
    """Where a solution has got to."""

    q: Floats
    tension: Floats
    slack: Floats
    steps: int = 0


def started(problem: Problem, q: Floats, tension: Floats, *, apart: float = 1.0) -> Iterate:
    """A start from a pose with likely tensions; `apart` times the usual slackness."""
    e, strain = problem.look(q), tension * problem.flexibility
    far = max(float(np.sqrt(np.mean((e - strain) ** 2))), float(np.mean(strain)))
    slack = np.maximum(strain - e, far * apart)
    return Iterate(q=q.copy(), tension=np.maximum(tension, 1e-300), slack=slack)


def to_rest(problem: Problem, state: Iterate, *, most: int, enough: float) -> bool:
    """At most so many steps, until it rests with less than `enough` left; whether it does."""
    last = np.zeros(0, dtype=bool)
    for _ in range(most):
        share = _step(problem, state)
        if share is None:
            return False
        taut = state.tension > state.slack / problem.flexibility
        same = len(last) and float(np.mean(taut != last)) <= SAME
        last = taut
        if same and share > LONG and _ended(problem, state, taut, enough):
            return True
    return False


def _step(problem: Problem, state: Iterate) -> float | None:
    """One step; its length, or None where the stiffness cannot be made positive."""
    n, s, soft = state.tension, state.slack, problem.flexibility
    e = problem.look(state.q)
    state.steps += 1
    miss, whole = s - n * soft + e, s + n * soft
    along = n / whole
    solve = problem.factor(along, n)
    if solve is None:
        return None

    def tried(target: float, corrected: Floats | float) -> tuple[Floats, ...]:
        c = (target - n * s + n * miss - corrected) / whole
        dq = solve(-problem.left(n + c))
        longer = problem.along(dq)
        dn = c + along * longer
        return dq, dn, dn * soft - longer - miss

    dq, dn, ds = tried(0.0, 0.0)
    mu = float(np.vdot(n, s)) / len(n)
    after = float(np.vdot(n + _share(n, dn) * dn, s + _share(s, ds) * ds)) / len(n)
    target = min(1.0, (after / mu) ** 3) * mu
    dq, dn, ds = tried(target, dn * ds)
    share = min(_share(s, ds), problem.most(dq))
    state.q = state.q + share * dq
    state.slack = s + share * ds
    state.tension = n + _share(n, dn) * dn
    return share


def _share(of: Floats, by: Floats) -> float:
    """Share of a step that keeps all above nothing."""
    down = by < 0
    if not down.any():
        return 1.0
    return min(1.0, BOUNDARY * float(np.min(-of[down] / by[down])))


def _ended(problem: Problem, state: Iterate, taut: NDArray[np.bool_], enough: float) -> bool:
    """Newton's method on the taut springs alone; the state is kept where that does not end it."""
    stiff = 1 / problem.flexibility
    q, tension = state.q, state.tension
    for _ in range(MOST_END):
        e = problem.look(q)
        solve = problem.factor(np.where(taut, stiff, 0.0), tension)
        if solve is None:
            return False
        step = solve(-problem.left(np.where(taut, stiff * e, 0.0)))
        if problem.most(step) < 1.0:
            return False
        foreseen = stiff * (e + problem.along(step))
        taut, tension = foreseen > 0, np.maximum(foreseen, 0.0)
        q = q + step
        state.steps += 1
        e = problem.look(q)
        true = stiff * np.maximum(e, 0.0)
        if problem.residual(problem.left(true)) < enough:
            state.q, state.tension = q, true
            return True
    return False

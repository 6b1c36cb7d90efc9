"""How far can the hole ends rise before the slot ends of the same bobbin go slack?

All ends of a unit are wound on one bobbin and hang on one weight. A raised hole end needs more
length; if ends cannot slip past each other on the bobbin, it gets that length only by stretching,
and takes load from the slot ends. The assumption is not measured: it is shown with its answer, to
be tried at the loom. Lengths mm, forces N. Source: derived. Checked: tests/loom/test_shed.py.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from crossfell.base.notes import Note, advice
from crossfell.base.quantities import written, written_long
from crossfell.draft.model import Draft
from crossfell.loom.shed import stretch_mm

DESCRIBES = {"rise_mm", "fell_to_heddle_mm", "heddle_to_back_mm", "back_to_weight_mm"}


@dataclass(frozen=True, kw_only=True)
class Shared:
    """How far hole ends can rise before the slot ends of the same bobbin go slack (mm, N)."""

    limit_mm: float  # for the likely stiffness of the yarn
    low_mm: float  # for the stiffest plausible yarn
    high_mm: float  # for the softest
    rise_mm: float  # what the loom does
    weight_rises_mm: float  # at that rise
    hole_end_n: float  # tension of a hole end at that rise
    free_mm: float  # length from fell to bobbin that would just do
    tension_n: float  # tension of one end that would just do
    farther: float  # times as far from fell and back beam the heddle would just do

    @property
    def slack(self) -> bool:
        """Whether slot ends go slack at the loom's rise."""
        return self.rise_mm > self.limit_mm


def shared_limit_mm(
    tension_n: float, stiffness_n: float, free_mm: float, a: float, b: float, holes: float = 0.5
) -> float:
    """Rise (mm) at which the slot ends of one bobbin go slack, if ends cannot slip past each other.

    The bobbin lets both layers out alike; a raised end is stretched by δ(s) more, so that
    T_hole − T_slot = k δ / L0 while the sum stays the weight: T_slot = T0 − h k δ/L0, with h the
    share of ends in holes. Slack where δ = T0 L0/(h k); with h = 1/2 and small s this is
    s* = √(4 T0 L0/(k (1/a + 1/b))). Solved exactly here: with S = a + b + δ, the rise of the
    triangle with sides √(a² + s²) + √(b² + s²) = S. Source: derived; not measured.
    """
    total = a + b + tension_n * free_mm / (holes * stiffness_n)
    first = (total**2 + a**2 - b**2) / (2 * total)  # √(a² + s²)
    return math.sqrt(max(first**2 - a**2, 0.0))


def hole_end_n(tension_n: float, apart_n: float, holes: float) -> float:
    """Tension (N) of a hole end: T0 + (1 − h) k δ/L0, and T0/h once slot ends are slack.

    `tension_n` is T0, what every end would have; `apart_n` is k δ/L0, by how much hole ends would
    have more than slot ends.
    """
    return min(tension_n + (1 - holes) * apart_n, tension_n / holes)


def shared_of(
    draft: Draft,
    *,
    tension_n: float,
    stiffness_n: tuple[float, float, float],
    free_mm: float,
    holes: float,
) -> Shared:
    """The shared-weight limit of one kind of unit; stiffness k (N) is likely, low, high."""
    loom = draft.loom
    a, b = loom.fell_to_heddle_mm, loom.heddle_to_back_mm
    k, soft, stiff = stiffness_n
    limit, high, low = (
        shared_limit_mm(tension_n, value, free_mm, a, b, holes) for value in (k, soft, stiff)
    )
    rise = max(loom.rise_mm, loom.sink_mm)
    stretch = stretch_mm(rise, a, b)
    hole = hole_end_n(tension_n, k * stretch / free_mm, holes)
    taut = rise <= limit
    weight = holes * stretch if taut else stretch - (hole - tension_n) * free_mm / k
    return Shared(
        limit_mm=limit,
        low_mm=low,
        high_mm=high,
        rise_mm=rise,
        weight_rises_mm=weight,
        hole_end_n=hole,
        free_mm=holes * k * stretch / tension_n,
        tension_n=holes * k * stretch / free_mm,
        farther=holes * k * stretch / (tension_n * free_mm),
    )


def shared_note(draft: Draft, found: Mapping[str, Shared]) -> tuple[Note, ...]:
    """An advice for the kinds of unit whose slot ends may go slack, with its assumption.

    Only about a loom that she describes: of defaults alone it would be a guess about a guess.
    """
    slack = {kind: shared for kind, shared in found.items() if shared.slack}
    if not slack or not DESCRIBES & set(draft.loom.given):
        return ()
    worst = min(slack.values(), key=lambda shared: shared.limit_mm)
    loom = draft.loom
    way = "rise" if loom.rise_mm >= loom.sink_mm else "sink"
    facts = {
        "way": way,
        "kinds": ", ".join(slack),
        "rise": written(worst.rise_mm, draft.measure),
        "limit": written(worst.limit_mm, draft.measure),
        "low": written(worst.low_mm, draft.measure),
        "high": written(worst.high_mm, draft.measure),
        "free": written_long(worst.free_mm, draft.measure),
        "tension": f"{worst.tension_n:.2g}",
        "farther": f"{worst.farther:.1f}",
    }
    return (advice("slot-ends-slacken", loom.given.get(f"{way}_mm", loom.where), **facts),)

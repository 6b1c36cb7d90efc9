"""What hangs on what, when a draft is cut down and hung?

Frame of the wall as in paths/model.py: x to the right, y up, bands and spans counted from the top.
The reference point of a band is the middle of the woven width at half its height: its rod.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from crossfell.draft.model import Draft
from crossfell.loom.tension import GRAVITY
from crossfell.order.model import Order
from crossfell.paths.masses import masses_of
from crossfell.paths.model import Paths
from crossfell.statics.balance import Rig
from crossfell.statics.cords import cord_springs
from crossfell.statics.fibres import fibres_of
from crossfell.statics.springs import Floats, Springs, springs_of


@dataclass(frozen=True, kw_only=True)
class DraftedWall:
    """The drafted piece in the frame of the wall, bands from the top."""

    x_mm: Floats  # [bands, units]
    low_mm: Floats  # [bands] lower edge
    high_mm: Floats  # [bands] upper edge
    face: Floats  # [bands, units] 1: the loom's left end of the face lies left; -1: right
    turns: Floats  # [spans, units] half turns
    middle_mm: float  # of the woven width

    @property
    def rod_mm(self) -> Floats:
        """[bands] height of the reference point."""
        middle: Floats = (self.low_mm + self.high_mm) / 2
        return middle


def on_the_wall(draft: Draft, order: Order, paths: Paths) -> DraftedWall:
    """Turn a draft's paths to the wall, from the top band down."""
    wall, high_mm = draft.on_wall(), paths.height_total_mm
    down = wall.downwards
    ends = [wall.y(y, high_mm) for y in (paths.band_bottom_mm, paths.band_top_mm)]
    turns = np.array([span.half_turns for span in order.spans]).reshape(-1, len(draft.units))
    return DraftedWall(
        x_mm=wall.x(paths.x_mm, paths.width_total_mm)[down],
        low_mm=np.minimum(*ends)[down],
        high_mm=np.maximum(*ends)[down],
        face=wall.ends(order.face[down]).astype(np.float64),
        turns=turns[down].astype(np.float64),
        middle_mm=paths.width_total_mm / 2,
    )


def rig_of(draft: Draft, order: Order, paths: Paths) -> Rig:
    """The rig of a draft."""
    wall = on_the_wall(draft, order, paths)
    spans = _spans(draft, wall)
    weight, moment_x, moment_y, inertia = _weights(draft, paths, wall)
    reach = float(np.sqrt(np.mean(np.square([spans.above_x, spans.below_x]))))
    return Rig(
        spans=spans,
        cords=None if draft.hang.rail else cord_springs(draft, paths, float(weight.sum())),
        weight_n=weight,
        moment_x=moment_x,
        moment_y=moment_y,
        reach_mm=reach or 1.0,
        inertia=inertia,
    )


def with_errors(rig: Rig, longer: Floats) -> Rig:
    """The rig with every natural length wrong by a share [spans from the top, units, fibres]."""
    s = rig.spans
    share = longer.reshape(s.shape)
    natural = s.long - s.e0
    spans = replace(s, e0=s.e0 - natural * share, k=s.k / (1 + share))
    return replace(rig, spans=spans)


def _spans(draft: Draft, wall: DraftedWall) -> Springs:
    """Some fibres for each unit; a turned one runs from edge to the other edge.

    With more than one half turn the ends of a unit still touch at its axis, and are as long as with
    one (the thickness of the twisted unit is neglected).
    """
    offset, ea, strain = fibres_of(draft)
    spans = len(wall.turns)
    side = np.where((wall.turns != 0) & (wall.turns % 2 == 0), -1.0, 1.0)
    above = wall.x_mm[:-1, :, None] + wall.face[:-1, :, None] * offset - wall.middle_mm
    below = wall.x_mm[1:, :, None] + (side * wall.face[1:])[:, :, None] * offset - wall.middle_mm
    dx = (below - above).reshape(spans, -1)
    height = (wall.low_mm[:-1] - wall.high_mm[1:])[:, None]
    dy = np.broadcast_to(-height, dx.shape).copy()
    long = np.hypot(dx, dy)
    stretched = np.tile(strain.ravel(), (spans, 1))
    return springs_of(
        above=(above.reshape(spans, -1), wall.low_mm[:-1] - wall.rod_mm[:-1]),
        below=(below.reshape(spans, -1), wall.high_mm[1:] - wall.rod_mm[1:]),
        drop=(dx, dy),
        e0=long * stretched / (1 + stretched),
        k=np.tile(ea.ravel(), (spans, 1)) * (1 + stretched) / long,
    )


def _weights(
    draft: Draft, paths: Paths, wall: DraftedWall
) -> tuple[Floats, Floats, Floats, Floats]:
    """Weight (N) of each band with half of the yarn beside it, first moments, second (N mm²).

    A rod with its weft and adhesive counts as even over the length of the rod.
    """
    masses = masses_of(draft, paths)
    on_wall = draft.on_wall()
    down = on_wall.downwards
    rods_x = on_wall.x(masses.across_x_mm, paths.width_total_mm)[down] - wall.middle_mm
    long = np.diff(paths.rod_ends_mm, axis=1)[down, 0]
    newton = GRAVITY / 1000
    rods, half = masses.across_g[down] * newton, masses.open_g[down] * newton / 2
    woven = masses.woven_g[down] * newton
    at = wall.x_mm - wall.middle_mm
    weight, moment_y = rods + woven.sum(1), np.zeros(len(rods))
    moment_x = rods * rods_x + (woven * at).sum(1)
    inertia = rods * (long**2 / 12 + rods_x**2) + (woven * at**2).sum(1)
    for bands, edge in ((slice(None, -1), wall.low_mm), (slice(1, None), wall.high_mm)):
        weight[bands] += half.sum(1)
        moment_x[bands] += (half * at[bands]).sum(1)
        up = (edge - wall.rod_mm)[bands]
        moment_y[bands] += half.sum(1) * up
        inertia[bands] += (half * (at[bands] ** 2 + up[:, None] ** 2)).sum(1)
    return weight, moment_x, moment_y, inertia


def plain_rig(
    x_mm: Floats,
    height_mm: Floats,
    *,
    band_n: Floats,
    ea_n: float = 18_000.0,
    tension_n: float = 12.0,
    offsets_mm: tuple[float, ...] = (0.0,),
    band_mm: float = 0.0,
    cords_mm: tuple[float, ...] | None = None,
    points_mm: tuple[float, ...] | None = None,
    cord_mm: float = 400.0,
    cord_ea_n: float = 20_000.0,
    mass_mm: float | Floats = 0.0,
    longer: float | Floats = 0.0,
) -> Rig:
    """A rig from bare numbers: for tests, benchmarks and what-if.

    `x_mm` [bands, units] from the top, 0 at the rods' middle; `height_mm` [spans]; each unit has
    a fibre of stiffness `ea_n`, woven at `tension_n`, at each of `offsets_mm`. `band_n` [bands] is
    the weight of the bands, its centre `mass_mm` right of the middle. Cords at `cords_mm` go to
    `points_mm` on the wall (straight up if None); without cords a rail holds the top. `longer`
    is an error of length as a share, one number or [spans, units × fibres].
    """
    x = np.asarray(x_mm, dtype=np.float64)
    fibres = (x[:, :, None] + np.array(offsets_mm)).reshape(len(x), -1)
    above, below = fibres[:-1], fibres[1:]
    dx, dy = below - above, np.repeat(-np.asarray(height_mm)[:, None], fibres.shape[1], axis=1)
    long, strain = np.hypot(dx, dy), tension_n / ea_n
    half = np.full(len(above), band_mm / 2)
    error = np.broadcast_to(np.asarray(longer), dx.shape)
    spans = springs_of(above=(above, -half), below=(below, half), drop=(dx, dy.astype(np.float64)),
                       e0=long * (strain - error) / (1 + strain),
                       k=ea_n * (1 + strain) / (long * (1 + error)))  # fmt: skip
    weight = np.array(band_n, dtype=np.float64)
    cords = None
    if cords_mm is not None:
        at = np.array([cords_mm], dtype=np.float64)
        to = at if points_mm is None else np.array([points_mm], dtype=np.float64)
        drop = (at - to, np.full_like(at, -cord_mm))
        reach = np.hypot(*drop)
        cords = springs_of(above=(np.zeros_like(at), np.zeros(1)), below=(at, np.zeros(1)),
                           drop=drop, e0=np.zeros_like(at), k=cord_ea_n / reach)  # fmt: skip
    rms = float(np.sqrt(np.mean(fibres**2)))
    inertia = weight * (np.mean(fibres**2, axis=1) + 1.0 + np.square(mass_mm))
    return Rig(spans=spans, cords=cords, weight_n=weight, moment_x=weight * mass_mm,
               moment_y=np.zeros(len(weight)), reach_mm=rms or 1.0,
               inertia=inertia)  # fmt: skip

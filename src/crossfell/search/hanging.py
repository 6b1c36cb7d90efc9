"""What does she read about how the piece will hang, in a terminal?"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from crossfell.base.quantities import written
from crossfell.draft.model import Band
from crossfell.loom.tension import GRAVITY
from crossfell.materials.tables import rod_material
from crossfell.piece import Piece
from crossfell.plan.cautions import CAUTIONS
from crossfell.search.bowing import told as bowing_told
from crossfell.search.mending import shrinks
from crossfell.search.spread import Spread
from crossfell.statics.beam import Bent, best_two_points, rodded
from crossfell.statics.bending import BentPiece
from crossfell.statics.bow import bow_is_sure, bow_mm
from crossfell.statics.carrying import carrying
from crossfell.statics.cords import cords_of, mass_centre_mm, on_top_rod_mm, rod_length_mm
from crossfell.statics.quick import drifts_mm
from crossfell.statics.reading import pulls_of
from crossfell.statics.springs import Floats
from crossfell.statics.told import neglected_told, sway_told
from crossfell.statics.verdict import MOVES, TURNS_OVER
from crossfell.statics.verdict_told import percent, sentences
from crossfell.statics.wall import wall_loads

MOST_SLACK = 5  # units that are named
FEW = 3  # units that carry a span and are named


def told(piece: Piece, spread: Spread | None = None) -> list[str]:
    """Everything that is read about the hung shape, line by line."""
    bends = piece.bent
    parts = (
        _whole(piece),
        _spans(piece, spread),
        _rods(piece, bends, spread),
        _slack(piece, spread),
        _top(piece, bends),
        _wall(piece),
    )
    lines: list[str] = []
    for part in parts:
        lines += [*part, ""]
    return lines[:-1]


def _whole(piece: Piece) -> Iterator[str]:
    hung, measure = piece.hung, piece.draft.measure
    if not hung.converged:
        yield f"No rest was found: {hung.residual:.1g} of the weight is left over."
    swings = [str(hold.number) for hold in piece.holds if not hold.holds]
    aside = drifts_mm(piece.draft, piece.holds)
    most = float(np.abs(hung.drift_mm).max())
    centre = mass_centre_mm(piece.draft, piece.paths)
    yield from sentences(piece.verdict, measure, centre)
    told = piece.verdict.says in {MOVES, TURNS_OVER}
    if swings and told:
        yield f"Spans {', '.join(swings)} swing: nothing but their crossings can help."
        far = float(np.abs(aside).max())
        band = int(np.abs(aside).argmax()) + 1
        yield (
            f"By the leans of its units alone band {band} swings {written(far, measure)} aside, "
            "the drifts of its spans added up."
        )
    yield f"Greatest drift of a rod {written(most, measure)}."
    yield f"Cut down, the piece {shrinks(hung.shrinkage_mm, measure)}."
    yield from sway_told(piece.sway, measure)
    yield neglected_told(piece.neglected, measure)


def _spans(piece: Piece, spread: Spread | None) -> Iterator[str]:
    share = carrying(piece.draft, piece.rig, piece.holds)
    yield "span    state    side force           swings mm   carried by   units N" + (
        f" in {spread.runs} pieces with errors of {percent(spread.error)}: 5 % … 95 %, bowing"
        if spread
        else ""
    )
    if spread and spread.failed:
        yield f"  {spread.failed} of them found no rest and are left out: so much less is known."
    for k, hold in enumerate(piece.holds):
        force = hold.margin * hold.below_g / 1000 * GRAVITY
        margin = f"{hold.margin + 0.0:.1%} = {force + 0.0:.2f} N".replace("-0.0%", "0.0%")
        row, by = piece.bent.tension_n[k], int((share[k] > 0).sum())
        text = (
            f"{hold.number:4}    {hold.state:7}  {margin:>17}   {hold.drift_mm + 0.0:10.1f}   "
            f"{_carriers(piece, share[k], by):>10}   "
            f"{row.min():.2f} to {row.max():.2f}"
        )
        if spread:
            low, _, high = spread.tension_n[:, k]
            text += f"    {low.min():.2f} … {high.max():.2f}   {spread.bows_share[k].mean():.0%}"
        yield text


def _carriers(piece: Piece, share: Floats, by: int) -> str:
    """Who carries: by name where they are few."""
    names = [piece.order.names[u] for u in np.flatnonzero(share > 0)]
    return (" ".join(names) or "-") if by <= FEW else f"{by} units"


def _rods(piece: Piece, bends: BentPiece, spread: Spread | None) -> Iterator[str]:
    hung, pulls = piece.hung, pulls_of(piece.draft, piece.hung)
    yield "band   drift mm   tilt mm/m   weft pull N   to a side N   bends mm" + (
        "   drift 5 % … 95 %" if spread else ""
    )
    for b in range(len(piece.draft.bands) - 1, -1, -1):
        tilt = 1000 * math.tan(hung.tilt_rad[b])
        text = (
            f"{b + 1:4}   {hung.drift_mm[b] + 0:8.1f}   {tilt + 0:9.1f}   {pulls.weft_n[b]:11.2f}"
            f"   {pulls.aside_n[b]:11.2f}   {bends.sag_mm[b]:8.2f}"
        )
        if spread:
            text += f"   {spread.drift_mm[0, b]:+.1f} … {spread.drift_mm[2, b]:+.1f}"
        yield text.replace("-0.0 ", " 0.0 ")


def _slack(piece: Piece, spread: Spread | None) -> Iterator[str]:
    """How many bow so far that it is seen, then those that bow farthest."""
    bent, chord, measure = piece.bent, piece.paths.chord_mm, piece.draft.measure
    drawn = bow_mm(chord, bent.slack_mm)
    seen = drawn > piece.draft.hang.bows_mm
    yield (
        f"With every length as drawn, {_count(int(seen.sum()), seen.size)} bow by more than "
        f"{written(piece.draft.hang.bows_mm, measure)}."
    )
    if spread:
        yield bowing_told(piece, spread)
    bow = spread.bow_mm if spread else drawn
    sure = bow_is_sure(chord, bent.slack_mm, piece.paths.lean_rad)
    for at in np.argsort(-bow, axis=None, kind="stable")[:MOST_SLACK]:
        k, u = np.unravel_index(int(at), bow.shape)
        if bow[k, u] <= 1.0:
            break
        about = "" if sure[k, u] else ", about: so steep a unit bows as its yarn is set"
        yield (
            f"  {piece.order.names[int(u)]} in span {int(k) + 1} bows by "
            f"{written(float(bow[k, u]), measure)}{' in the mean' if spread else ''}{about}"
        )


def _count(some: int, of: int) -> str:
    return f"{some or 'none'} of {of} units in their spans"


def _top(piece: Piece, bends: BentPiece) -> Iterator[str]:
    draft, hung = piece.draft, piece.hung
    wall = draft.on_wall()
    length = rod_length_mm(draft, piece.paths)
    rod = rodded(draft.bands[wall.top], length)
    at = on_top_rod_mm(draft, piece.paths)
    loads, sag = hung.tension_n[wall.top].copy(), bends.sag_mm[wall.top]
    yield f"The top rod bends by {sag:.2f} mm on its cords (units share the load)."
    if len(at) and hung.converged:
        left, right, made = best_two_points(rod, at, loads)
        yield (
            f"With the loads that stiff rods would give, it bends least on two cords "
            f"{written(left, draft.measure)} and {written(right, draft.measure)} from its left "
            f"end: by {made.greatest_mm:.2f} mm{_stress(draft.bands[wall.top], made)}."
        )


def _stress(band: Band, made: Bent) -> str:
    """The stress at the surface of a rod beside what its material is known to bear."""
    material = rod_material(band.rod.material) if band.rod else None
    if material is None:
        return ""
    gives, source = "yields" if material.metal else "breaks", material.source["strength"]
    return (
        f"; at its surface it is stressed by {made.stress_mpa:.0f} MPa, {material.name} {gives} "
        f"near {material.strength:g} ({source})"
    )


def _wall(piece: Piece) -> Iterator[str]:
    wall = wall_loads(piece.draft, piece.paths, piece.hung)
    measure = piece.draft.measure
    yield f"On the wall: {piece.masses.total_g / 1000:.2f} kg, {wall.weight_n:.1f} N; " + "; ".join(
        wall.assumed
    )
    cords = cords_of(piece.draft, piece.paths)
    for point in wall.points:
        what = f"{point.cords} cords" if point.cords > 1 else "cord" if point.cords else "rail"
        yield (
            f"  point {written(point.at_mm, measure)} from the rod's left end ({what}): "
            f"{point.load_n:.2f} N "
            f"({point.down_n:.2f} down, {round(point.aside_n, 2) + 0.0:.2f} aside, leg factor "
            f"{point.factor:.2f}); with a tug {point.tugged_n:.2f} N"
        )
    if len(cords.at_mm) > 2:
        yield "  more than two cords share by tenths of a millimetre of their length: see the range"
    yield (
        f"  centre of mass {written(wall.centre_x_mm, measure)} from the left edge, "
        f"{written(wall.centre_y_mm, measure)} above the lowest; "
        f"swinging out by 5 degrees it takes {written(wall.swing_mm, measure)} before the wall"
    )
    yield f"  {CAUTIONS['overhead']}"

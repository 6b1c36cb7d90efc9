"""What does the centre line of every unit look like in space?

Between two knots a centre line runs straight in the plane and as a cubic in height, so that knots
with height and slope describe it exactly. Knots are its meetings, its corners in an interlaced
span, and the two bands.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from crossfell.order.model import Floats, Ints
from crossfell.paths.beams import bent
from crossfell.paths.meetings import Meetings

# Gauss-Legendre, five points on [0, 1]; published, exact for polynomials of degree nine
_POINT, _WEIGHT = np.polynomial.legendre.leggauss(5)
GAUSS_AT, GAUSS_WEIGHT = (_POINT + 1) / 2, _WEIGHT / 2


@dataclass(frozen=True, kw_only=True)
class Lines:
    """Centre lines as knots, sorted by span, unit and height."""

    first: Ints  # [spans × units + 1] where the knots of span k, unit u begin: k × units + u
    units: int
    at: Floats  # [knots] share of the span's height, 0 to 1
    x_mm: Floats  # [knots]
    z_mm: Floats  # [knots] towards the viewer, 0 in the plane of the bands
    slope_mm: Floats  # [knots] change of z per span height

    @cached_property
    def pieces(self) -> Pieces:
        """From knot to knot, those of no height left out."""
        line = np.repeat(np.arange(len(self.first) - 1), np.diff(self.first))
        width = np.diff(self.at)
        start = np.flatnonzero((np.diff(line) == 0) & (width > 1e-12))
        z, slope = self.z_mm, self.slope_mm
        return Pieces(
            line=line[start],
            width=width[start],
            across=np.diff(self.x_mm)[start],
            z0=z[start],
            z1=z[start + 1],
            d0=slope[start],
            d1=slope[start + 1],
        )

    def of(self, span: int, unit: int) -> slice:
        """Knots of one unit in one span (indices from 0)."""
        line = span * self.units + unit
        return slice(int(self.first[line]), int(self.first[line + 1]))

    def point_mm(self, span: int, unit: int, at: Floats) -> tuple[Floats, Floats]:
        """X and z (mm) of a centre line at shares `at` of the span's height."""
        part = self.of(span, unit)
        knots, x = self.at[part], self.x_mm[part]
        i = np.clip(np.searchsorted(knots, at, side="right") - 1, 0, len(knots) - 2)
        width = knots[i + 1] - knots[i]
        t = np.divide(at - knots[i], width, out=np.zeros_like(at), where=width > 0)
        z, dz = self.z_mm[part], self.slope_mm[part] * 1.0
        one, other = (1 + 2 * t) * (1 - t) ** 2, t**2 * (3 - 2 * t)
        height: Floats = one * z[i] + other * z[i + 1]
        height = height + width * t * (1 - t) * ((1 - t) * dz[i] - t * dz[i + 1])
        return x[i] + t * (x[i + 1] - x[i]), height


def lines_of(meetings: Meetings, force: Floats, stiffness: Floats, x_mm: Floats) -> Lines:
    """Centre lines of all units in all spans; `x_mm` is [bands, units], `force` [meetings]."""
    spans, units = len(x_mm) - 1, x_mm.shape[1]
    loaded = np.concatenate((meetings.over, meetings.under))
    line = np.concatenate((meetings.span, meetings.span)) * units + loaded
    push = np.concatenate((force, -force)) / stiffness[loaded]
    ends = np.arange(spans * units)
    corner_line, corner_at = _corners(meetings, units)
    still = np.zeros(2 * len(ends) + len(corner_line))
    knot_line = np.concatenate((ends, ends, corner_line, line))
    knot_at = np.concatenate(
        (np.zeros(len(ends)), np.ones(len(ends)), corner_at, meetings.at, meetings.at)
    )
    load = np.concatenate((still, push))
    order = np.lexsort((knot_at, knot_line))
    knot_line, knot_at, load = knot_line[order], knot_at[order], load[order]
    first = np.searchsorted(knot_line, np.arange(spans * units + 1))
    z, dz = bent(knot_line, knot_at, load, first)
    return Lines(
        first=first,
        units=units,
        at=knot_at,
        x_mm=_sideways(meetings, x_mm, knot_line, knot_at),
        z_mm=z,
        slope_mm=dz,
    )


def _corners(meetings: Meetings, units: int) -> tuple[Ints, Floats]:
    lines, shares = [np.zeros(0, np.int64)], [np.zeros(0)]
    for k, bends in enumerate(meetings.bends):
        if len(bends.at):
            each = k * units + np.arange(units)
            lines.append(np.tile(each, len(bends.at)))
            shares.append(np.repeat(bends.at, units))
    return np.concatenate(lines), np.concatenate(shares)


def _sideways(meetings: Meetings, x_mm: Floats, knot_line: Ints, knot_at: Floats) -> Floats:
    units = x_mm.shape[1]
    span, unit = knot_line // units, knot_line % units
    x: Floats = (1 - knot_at) * x_mm[span, unit] + knot_at * x_mm[span + 1, unit]
    for k, bends in enumerate(meetings.bends):
        if not len(bends.at):
            continue
        rows = np.vstack((x_mm[k], bends.x_mm, x_mm[k + 1]))
        here = np.flatnonzero(span == k)
        along = np.clip(knot_at[here] * (len(rows) - 1), 0, len(rows) - 1)
        below = np.minimum(along.astype(np.int64), len(rows) - 2)
        share = along - below
        x[here] = (1 - share) * rows[below, unit[here]] + share * rows[below + 1, unit[here]]
    return x


def lengths_mm(lines: Lines, heights_mm: Floats) -> Floats:
    """True length [spans, units] of every centre line; `heights_mm` is [spans].

    Length of √(1 + x'² + z'²) by five-point Gauss from knot to knot; a piece that stays in the
    plane is straight. Source: definition.
    """
    part = lines.pieces
    rise = heights_mm[part.line // lines.units] * part.width
    flat = rise**2 + part.across**2
    length = np.sqrt(flat)
    out = np.flatnonzero(part.leaves_the_plane)
    bent = part.of(out)
    length[out] = sum(
        weight * np.sqrt(flat[out] + (_slope(bent, at) * bent.width) ** 2)
        for at, weight in zip(GAUSS_AT.tolist(), GAUSS_WEIGHT.tolist(), strict=True)
    )
    total = np.bincount(part.line, length, minlength=len(lines.first) - 1)
    return np.asarray(total, dtype=np.float64).reshape(-1, lines.units)


def steepest_mm(lines: Lines) -> Floats:
    """Greatest way out of the vertical per span height (mm), sideways and in depth together.

    [spans, units]: √(dx/ds² + dz/ds²) at its greatest; over the span's height it is the tangent of
    the lean in space. The slope of a cubic is greatest at a knot or where its bend changes sign.
    """
    part = lines.pieces
    steep = np.abs(part.across / part.width)
    out = np.flatnonzero(part.leaves_the_plane)
    bent = part.of(out)
    rise = bent.z1 - bent.z0
    d0, d1 = bent.d0 * bent.width, bent.d1 * bent.width
    bend = 2 * (d0 + d1 - 2 * rise)
    with np.errstate(divide="ignore", invalid="ignore"):
        turn = np.where(bend != 0, (3 * rise - 2 * d0 - d1) / -(bend * 1.5), 0.0)
    inside = np.abs(_slope(bent, np.clip(turn, 0, 1)))
    depth = np.maximum(inside, np.maximum(np.abs(bent.d0), np.abs(bent.d1)))
    steep[out] = np.hypot(steep[out], depth)
    greatest = np.zeros(len(lines.first) - 1)
    np.maximum.at(greatest, part.line, steep)
    return greatest.reshape(-1, lines.units)


@dataclass(frozen=True)
class Pieces:
    """Centre lines from knot to knot. Arrays are [pieces]."""

    line: Ints
    width: Floats  # share of the span's height
    across: Floats  # change of x, mm
    z0: Floats  # height and slope at its two knots, as in `Lines`
    z1: Floats
    d0: Floats
    d1: Floats

    @property
    def leaves_the_plane(self) -> NDArray[np.bool_]:
        """Whether it is bent out of the plane of the bands."""
        leaves: NDArray[np.bool_] = (
            (self.z0 != 0) | (self.z1 != 0) | (self.d0 != 0) | (self.d1 != 0)
        )
        return leaves

    def of(self, which: Ints) -> Pieces:
        """Some of them."""
        return Pieces(*(getattr(self, item.name)[which] for item in fields(self)))


def _slope(part: Pieces, at: Floats | float) -> Floats:
    """dz/ds (mm per span height) [pieces] at a share of each piece."""
    mean = (part.z1 - part.z0) / part.width
    slope: Floats = (
        6 * at * (1 - at) * mean + (1 - at) * (1 - 3 * at) * part.d0 + at * (3 * at - 2) * part.d1
    )
    return slope

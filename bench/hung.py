"""How fast does a piece come to rest, against general minimisers of the same energy?

Ratios are taken in one run, on one core; nothing is asserted. `python bench/hung.py`
"""

import os
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import time
from pathlib import Path

import numpy as np
from scipy.optimize import minimize

from crossfell.draft.files import read_file
from crossfell.piece import Piece
from crossfell.statics.balance import balance_of, room_for
from crossfell.statics.newton import rest_of
from crossfell.statics.quick import holds_of
from crossfell.statics.rig import plain_rig

TOY = "--toy" in sys.argv  # small, to see that it runs


def crossings(units, bands, pitch=50.0, error=0.0):
    """Neighbours cross in pairs, in one span those at odd, in the next those at even places."""
    start = (np.arange(units) - (units - 1) / 2) * pitch
    rows, here = [start], start
    for band in range(1, bands):
        here = here.copy()
        order = np.argsort(here)
        for i in range(band % 2, units - 1, 2):
            here[order[i]], here[order[i + 1]] = here[order[i + 1]], here[order[i]]
        rows.append(here)
    longer = np.random.default_rng(0).normal(0, error, (bands - 1, 3 * units)) if error else 0.0
    return plain_rig(
        np.array(rows),
        np.full(bands - 1, 150.0),
        band_n=np.full(bands, 0.98),
        offsets_mm=(-10.0, 0.0, 10.0),
        cords_mm=(start[0], start[-1]),
        longer=longer,
    )


def zigzag(units, bands, pitch=50.0):
    start = (np.arange(units) - (units - 1) / 2) * pitch
    x = start + (np.arange(bands) % 2 * pitch)[:, None]
    return plain_rig(x, np.full(bands - 1, 150.0), band_n=np.full(bands, 0.98),
                     offsets_mm=(-10.0, 0.0, 10.0), cords_mm=(start[0], start[-1]))  # fmt: skip


def least(work, *given, times=5):
    """Least processor time of some runs (others may be at work on this machine), and the result."""
    best = float("inf")
    for _ in range(times):
        start = time.process_time()
        made = work(*given)
        best = min(best, time.process_time() - start)
    return best, made


def plain_energy(rig):
    """The same energy as plain distances, with its gradient; x, y in mm, tilts at 100 mm."""
    s, c = rig.spans, rig.cords
    natural, k = s.long - s.e0, s.k

    def pull(dx, dy, natural, k, arms, tilts, slope, bands):
        (ax, ay), (bx, by) = arms
        t1, t2 = tilts
        c1, s1, c2, s2 = (
            np.cos(t1)[:, None],
            np.sin(t1)[:, None],
            np.cos(t2)[:, None],
            np.sin(t2)[:, None],
        )
        r1x, r1y, r2x, r2y = (
            c1 * ax - s1 * ay,
            s1 * ax + c1 * ay,
            c2 * bx - s2 * by,
            s2 * bx + c2 * by,
        )
        x, y = dx + r2x - bx - r1x + ax, dy + r2y - by - r1y + ay
        long = np.hypot(x, y)
        e = np.maximum(long - natural, 0.0)
        fx, fy = k * e * x / long, k * e * y / long
        for band, sign, rx, ry in ((bands[0], -1, r1x, r1y), (bands[1], 1, r2x, r2y)):
            if band is not None:
                slope[band, 0] += sign * fx.sum(1)
                slope[band, 1] += sign * fy.sum(1)
                slope[band, 2] += sign * (fy * rx - fx * ry).sum(1)
        return 0.5 * float((k * e * e).sum())

    def energy(q):
        pose = q.reshape(-1, 3) * (1.0, 1.0, 0.01)
        slope = np.zeros_like(pose)
        up, low = pose[:-1], pose[1:]
        total = pull(s.dx + (low - up)[:, :1], s.dy + (low - up)[:, 1:2], natural, k,
                     ((s.above_x, s.above_y[:, None]), (s.below_x, s.below_y[:, None])),
                     (up[:, 2], low[:, 2]), slope, (slice(None, -1), slice(1, None)))  # fmt: skip
        total += pull(c.dx + pose[:1, :1], c.dy + pose[:1, 1:2], c.long - c.e0, c.k,
                      ((c.above_x, c.above_y[:, None]), (c.below_x, c.below_y[:, None])),
                      (np.zeros(1), pose[:1, 2]), slope, (None, slice(0, 1)))  # fmt: skip
        slope[:, 1] += rig.weight_n
        slope[:, 2] += np.cos(pose[:, 2]) * rig.moment_x
        total += float(rig.weight_n @ pose[:, 1] + np.sin(pose[:, 2]) @ rig.moment_x)
        return total, (slope * (1.0, 1.0, 0.01)).ravel()

    return energy


def quasi_newton(energy, size, total):
    options = {"maxiter": 20000, "maxfun": 40000, "maxcor": 30, "ftol": 0, "gtol": 1e-6 * total}
    return minimize(energy, np.zeros(size), jac=True, method="L-BFGS-B", options=options)


def trust_region(energy, size, total):
    def curvature(q):
        step = np.eye(size) * 1e-6
        rows = [(energy(q + d)[1] - energy(q - d)[1]) / 2e-6 for d in step]
        return (np.array(rows) + np.array(rows).T) / 2

    return minimize(
        lambda q: energy(q)[0],
        np.zeros(size),
        jac=lambda q: energy(q)[1],
        hess=curvature,
        method="trust-exact",
        options={"gtol": 1e-7 * total, "maxiter": 500},
    )


def against_minimisers():
    print("ours against scipy on the same energy, from the drafted pose")
    cases = {
        "12 × 8 crossings": crossings(12, 8),
        "12 × 8 zigzag": zigzag(12, 8),
        "48 × 40 crossings": crossings(48, 40),
    }
    for name, rig in list(cases.items())[: 1 if TOY else None]:
        ours, rest = least(rest_of, rig, times=25)
        print(f"  {name}: {ours * 1e3:.2f} ms, {rest.steps} steps, left {rest.residual:.0e}")
        energy, total = plain_energy(rig), rig.total_n
        for method, called in ((quasi_newton, "L-BFGS"), (trust_region, "trust-exact")):
            theirs, found = least(method, energy, 3 * rig.bands, total, times=1)
            apart = np.abs(found.x.reshape(-1, 3)[:, :2] - rest.pose[:, :2]).max()
            left = np.abs(found.jac).max() / total
            print(f"    {called:12} × {theirs / ours:4.0f}  apart {apart:.0e} mm, left {left:.0e}")


def growth():
    print("cost of one step per spring")
    each = []
    for units, bands in ((48, 36), (100, 100), (200, 200), (400, 420))[: 1 if TOY else None]:
        rig = crossings(units, bands)
        springs = rig.spans.k.size
        one, _ = least(balance_of, rig, np.zeros((bands, 3)), None, room_for(rig), times=7)
        whole, rest = least(rest_of, rig, times=9 if springs < 200_000 else 3)
        each.append(whole / rest.steps / springs)
        print(f"  {springs:7} springs: {one / springs * 1e9:5.1f} ns a spring to sum up, ", end="")
        print(
            f"{whole * 1e3:7.1f} ms, {rest.steps} steps, {each[-1] * 1e9:5.1f} ns a spring and step"
        )
    print(f"  flat within × {max(each) / min(each):.2f}")


def errors():
    print("with errors of length")
    sizes = ((12, 8, 0.003), (48, 40, 0.001), (48, 40, 0.003), (100, 100, 0.003))
    for units, bands, error in sizes[: 1 if TOY else None]:
        rig = crossings(units, bands, error=error)
        whole, rest = least(rest_of, rig, times=3)
        print(f"  {units} × {bands}, {error:.1%}: {whole * 1e3:.1f} ms, {rest.steps} steps")


def quick():
    folder = Path(__file__).parents[1] / "examples"
    pieces = [Piece(read_file(path)) for path in folder.glob("*/*.toml")]
    large = max(pieces, key=lambda piece: len(piece.draft.spans))
    each, holds = least(holds_of, large.draft, large.rig, times=9)
    units = len(large.draft.units)
    print(f"quick test of all {len(holds)} spans × {units} units: {each * 1e3:.2f} ms")


if __name__ == "__main__":
    quick()
    growth()
    errors()
    against_minimisers()

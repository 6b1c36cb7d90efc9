"""The hung shape against general minimisers on an energy written a second time, from the draft.

Source: scipy.optimize (BSD-3): trust-exact with a Hessian of differences, and L-BFGS-B; the energy
here takes nothing of statics/ but the numbers that it is given: plain distances of end points
(√(dx² + dy²) − L0), no carried tensions, no bands of blocks. Tolerances: what the minimisers reach
on springs of hundreds of N/mm that carry tenths of a newton.
"""

import numpy as np
import pytest
from scipy.optimize import minimize

from crossfell.draft.reader import read_draft
from crossfell.paths.stage import yarn_diameter_mm
from crossfell.paths.takeup import takeups_mm
from crossfell.piece import Piece

DRAFT = """
measure = "mm"
[piece]
woven_from = "{woven}"
[yarn.y]
count = "tex 200"
modulus = 5
[strip.s]
width = 24
dents = 12
[unit.u]
strip = "s"
ends = "12 y"
[warp]
pitch = 28
order = "u*3 - u*2"
tension = {tension}
[band]
picks = "2, rod, 2"
rod = "steel 4"
[hang]
cords = {cords}
points = {points}
cord_length = 300
{spans}
"""
SPAN = '[[span]]\nheight = {height}\nmoves = "{moves}"\n'
PIECES = {
    "pairs": ("bottom", 0.5, "[40, 130]", "[]", ["1 over 2", "2 over 3, 5 under 6", ""]),
    "all lean": ("bottom", 0.5, "[40, 130]", "[]", ["shift 1-3 right 9 mm, shift 5-6 right 9 mm", "1 over 2"]),
    "woven from the top": ("top", 0.4, "[30, 90, 150]", "[]", ["3 over 4-5", "turn 2 right", "1 over 2"]),
    "splayed cords": ("top", 0.9, "[60, 120]", "[0, 200]", ["shift 5-6 left 1, 1-2 under 3", "2 over 3"]),
    "one nail": ("bottom", 0.2, "[30, 160]", "[99]", ["1 over 2", "shift 5-6 left 12 mm", "5 under 6"]),
    "hardly any tension": ("bottom", 0.001, "[30, 160]", "[]", ["1-2 over 3", "5 over 6"]),
}  # fmt: skip
GRAVITY = 9.80665e-3  # N/g


def made(name):
    woven, tension, cords, points, moves = PIECES[name]
    spans = "".join(SPAN.format(height=90 + 30 * i, moves=m) for i, m in enumerate(moves))
    draft = read_draft(
        DRAFT.format(woven=woven, tension=tension, cords=cords, points=points, spans=spans)
    )
    assert not [n for n in draft.notes if n.severity.value == "error"]
    return Piece(draft)


def energy_of(piece):
    """Energy and its gradient for poses [bands * 3], in weaving order, in the frame of the wall."""
    draft, paths, order = piece.draft, piece.paths, piece.order
    top = draft.about.woven_from == "top"
    wide, high = paths.width_total_mm, paths.height_total_mm
    wall_x = (lambda x: wide - x) if top else (lambda x: x)
    wall_y = (lambda y: high - y) if top else (lambda y: y)
    bands, units = paths.x_mm.shape
    middle = np.array(
        [
            [wide / 2, wall_y((a + b) / 2)]
            for a, b in zip(paths.band_bottom_mm, paths.band_top_mm, strict=True)
        ]
    )
    points, springs, loads = [], [], []  # points: band, place on the wall
    ea_end, ends = 5 * 200.0, 12
    edge = 24 / 2 * 11 / 12
    side_share = 13 / (3 * 11) / 2  # of each outer fibre: variance of twelve even ends
    strain = draft.warp.tension_n / ea_end

    def point(band, x, y):
        points.append((band, x, y))
        return len(points) - 1

    for k in range(bands - 1):
        for u in range(units):
            one, two = (
                (paths.x_mm[k, u], paths.band_top_mm[k]),
                (paths.x_mm[k + 1, u], paths.band_bottom_mm[k + 1]),
            )
            turned = order.spans[k].half_turns[u] != 0
            for f, share in ((-1, side_share), (0, 1 - 2 * side_share), (1, side_share)):
                a = point(k, wall_x(one[0] + f * edge), wall_y(one[1]))
                b = point(k + 1, wall_x(two[0] + (-f if turned else f) * edge), wall_y(two[1]))
                long = np.hypot(points[a][1] - points[b][1], points[a][2] - points[b][2])
                natural = long / (1 + strain)
                springs.append((a, b, natural, share * ends * ea_end / natural))
            longest = np.hypot(paths.length_mm[k, u], order.spans[k].half_turns[u] * np.pi * 12)
            half = 12 * 200e-6 * longest / 2 * GRAVITY
            loads += [
                (k, wall_x(one[0]), wall_y(one[1]), half),
                (k + 1, wall_x(two[0]), wall_y(two[1]), half),
            ]
    outer = [wall_x(x) + side for x in paths.x_mm.ravel() for side in (-12, 12)]
    left, right = min(outer) - 15, max(outer) + 15
    for b in range(bands):
        rod = 7850e-6 * np.pi * 4**2 / 4 * (right - left) * GRAVITY
        edges = [wall_x(x) + side for x in paths.x_mm[b] for side in (-12, 12)]
        weft = 4 * (max(edges) - min(edges)) * 1.04 * 200e-6
        soaked = weft + units * 12 * 200e-6 * 4 * yarn_diameter_mm(draft, "y")
        across = (weft + soaked * draft.adhesive.uptake * draft.adhesive.solids) * GRAVITY
        loads += [
            (b, (left + right) / 2, middle[b][1], rod),
            (b, (max(edges) + min(edges)) / 2, middle[b][1], across),
        ]
        long = paths.band_top_mm[b] - paths.band_bottom_mm[b] + takeups_mm(draft, "u")[b]
        cloth = long * 12 * 200e-6 * GRAVITY
        loads += [(b, wall_x(paths.x_mm[b, u]), middle[b][1], cloth) for u in range(units)]
    upper = 0 if top else bands - 1
    total = sum(load[3] for load in loads)
    cords = list(draft.hang.cords)
    on_wall = list(draft.hang.points) or cords
    on_wall = on_wall if len(on_wall) == len(cords) else on_wall * len(cords)
    for at, to in zip(cords, on_wall, strict=True):
        a = point(upper, at + left, middle[upper][1])
        up = np.sqrt(300**2 - (to - at) ** 2)
        b = point(-1, to + left, middle[upper][1] + up)
        natural = 300 / (1 + total / len(cords) / 20000)
        springs.append((a, b, natural, 20000 / natural))
    band = np.array([p[0] for p in points])
    local = np.array([p[1:] for p in points]) - np.where(band[:, None] >= 0, middle[band], 0)
    one, two, natural, k = (np.array(c) for c in zip(*springs, strict=True))
    one, two = one.astype(int), two.astype(int)
    lb = np.array([load[0] for load in loads])
    lp = np.array([load[1:3] for load in loads]) - middle[lb]
    lw = np.array([load[3] for load in loads])
    fixed = band < 0

    def place(where, which, pose):
        c, s = np.cos(pose[which, 2]), np.sin(pose[which, 2])
        x = c * where[:, 0] - s * where[:, 1]
        y = s * where[:, 0] + c * where[:, 1]
        return middle[which] + pose[which, :2] + np.stack([x, y], 1), np.stack([-y, x], 1)

    def energy(flat):
        pose = flat.reshape(bands, 3)
        at, arm = place(local, band, pose)
        at = np.where(fixed[:, None], local, at)
        run = at[two] - at[one]
        long = np.hypot(run[:, 0], run[:, 1])
        stretch = np.maximum(long - natural, 0)
        pull = (k * stretch / long)[:, None] * run
        slope = np.zeros((bands, 3))
        for ends_, sign in ((one, -1), (two, 1)):
            on = ~fixed[ends_]
            np.add.at(slope[:, :2], band[ends_][on], sign * pull[on])
            np.add.at(slope[:, 2], band[ends_][on], sign * (pull * arm[ends_]).sum(1)[on])
        weights, turn = place(lp, lb, pose)
        np.add.at(slope[:, 1], lb, lw)
        np.add.at(slope[:, 2], lb, lw * turn[:, 1])
        level = weights[:, 1] - (middle[lb] + lp)[:, 1]
        return float(0.5 * (k * stretch**2).sum() + (lw * level).sum()), slope.ravel()

    def tensions(flat):
        at, _ = place(local, band, flat.reshape(bands, 3))
        at = np.where(fixed[:, None], local, at)
        run = at[two] - at[one]
        return k * np.maximum(np.hypot(run[:, 0], run[:, 1]) - natural, 0)

    return energy, tensions, total


def curvature(energy, x):
    scale = np.tile([1e-5, 1e-5, 1e-7], len(x) // 3)
    rows = [(energy(x + step)[1] - energy(x - step)[1]) / (2 * s)
            for s, step in zip(scale, np.diag(scale), strict=True)]  # fmt: skip
    return (np.array(rows) + np.array(rows).T) / 2


@pytest.mark.parametrize("name", PIECES)
def test_a_general_minimiser_finds_the_same_rest(name):
    """trust-exact from the drafted pose; x and y in mm, tilts at the arm of 100 mm."""
    piece = made(name)
    energy, tensions, total = energy_of(piece)
    scale = np.tile([1.0, 1.0, 0.01], len(piece.draft.bands))
    found = minimize(
        lambda q: energy(q * scale)[0],
        np.zeros(scale.size),
        jac=lambda q: energy(q * scale)[1] * scale,
        hess=lambda q: curvature(energy, q * scale) * scale * scale[:, None],
        method="trust-exact",
        options={"gtol": 2e-9 * total, "maxiter": 3000, "initial_trust_radius": 5.0},
    )
    x = found.x * scale
    hung = piece.hung
    assert hung.converged
    assert hung.weight_n == pytest.approx(total, rel=1e-12)
    assert (
        np.abs(energy(hung.rods.ravel())[1] / np.tile([1, 1, 100], len(scale) // 3)).max()
        < 1e-6 * total
    )
    assert np.abs(x.reshape(-1, 3) - hung.rods)[:, :2].max() < 2e-4
    assert np.abs(x.reshape(-1, 3) - hung.rods)[:, 2].max() < 2e-6
    units = len(piece.draft.units)
    by_unit = tensions(x)[: hung.tension_n.size * 3].reshape(-1, units, 3).sum(2)
    assert by_unit == pytest.approx(hung.tension_n, abs=2e-4 * total)


def test_the_comparison_can_fail():
    """Another weight on one band is seen at once."""
    piece = made("pairs")
    energy, _, total = energy_of(made("all lean"))
    assert np.abs(energy(piece.hung.rods.ravel()[:9])[1]).max() > 1e-3 * total


@pytest.mark.parametrize("name", ["pairs", "woven from the top"])
def test_no_start_finds_a_lower_energy(name):
    """L-BFGS-B from shaken poses ends nowhere lower than the rest that was found."""
    piece = made(name)
    energy, _, total = energy_of(piece)
    lowest = energy(piece.hung.rods.ravel())[0]
    scale = np.tile([1.0, 1.0, 0.01], len(piece.draft.bands))
    rng = np.random.default_rng(5)
    for _ in range(2):
        start = rng.normal(0, 1, scale.size) * 3
        found = minimize(lambda q: (energy(q * scale)[0], energy(q * scale)[1] * scale), start, jac=True,
                         method="L-BFGS-B", options={"maxiter": 60, "maxfun": 90})  # fmt: skip
        assert found.fun > lowest - 1e-7 * total

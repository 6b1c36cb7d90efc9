"""What holds of the hung shape and of spans that carry: by forces of our own, and linear programs."""

from functools import cache

import numpy as np
from scipy.optimize import linprog


def _side(tan, x, sign):
    """Greatest side force, over the weight, one way; None where nothing carries the moment."""
    count = len(tan)
    found = linprog(-sign * np.array(tan), A_eq=[np.ones(count), x], b_eq=[1, 0], method="highs")
    return -sign * float(found.fun) if found.status == 0 else None


def _reach(put):
    tan, x = (np.array(put[name].value) for name in ("tan_lean", "from_mass_centre"))
    scale = np.abs(x).max() or 1.0
    return _side(tan, x / scale, -1), _side(tan, x / scale, 1)


def margin(piece, index, value, put):
    low, high = _reach(put)
    expected = -1.0 if high is None else min(-low, high)
    return abs(value - expected) < 1e-7


def drift(piece, index, value, put):
    low, high = _reach(put)
    if high is None or min(-low, high) >= -1e-9:
        return value == 0
    return abs(value - put["height"].value * (low if low > 0 else high)) < 1e-4


def carried_by(piece, index, value, put):
    """The units told, and none else, fulfil the equations, but for what counts as nothing."""
    tan, x = (np.array(put[name].value) for name in ("tan_lean", "from_mass_centre"))
    low, high = _reach(put)
    if high is None or min(-low, high) < -1e-9:
        return value == []
    if not value:
        return min(-low, high) < 1e-9  # at the very edge either may be told
    mine = [
        i for i, label in enumerate(put["tan_lean"].labels) if label.rsplit(", end ", 1)[0] in value
    ]
    scale = np.abs(x).max() or 1.0
    near = linprog(
        np.zeros(len(mine)),
        A_ub=np.array([tan[mine], -tan[mine], x[mine] / scale, -x[mine] / scale]),
        b_ub=np.full(4, 0.02),
        A_eq=[np.ones(len(mine))],
        b_eq=[1],
        method="highs",
    )
    return near.status == 0


class Forces:
    """Forces of a rig in a pose, from the top down, written without the kernel's."""

    def __init__(self, piece):
        self.rig, down = piece.rig, piece.draft.on_wall().downwards
        told = (piece.hung.drift_mm, piece.hung.rise_mm, piece.hung.tilt_rad)
        self.pose = np.stack(told, axis=1)[down]

    def pulls(self, pose):
        """Tension of every fibre, and its forces on both bands: {springs: (e, T, unit vector)}."""
        rig = self.rig
        ends = [(rig.spans, pose[:-1], pose[1:])]
        if rig.cords is not None:
            ends.append((rig.cords, np.zeros((1, 3)), pose[:1]))
        return [(s, above, below, *self._pull(s, above, below)) for s, above, below in ends]

    @staticmethod
    def _moved(x, y, pose):
        """How far points at (x, y) of bands in these poses have gone."""
        t = pose[:, 2:3]
        dx = pose[:, :1] - 2 * np.sin(t / 2) ** 2 * x - np.sin(t) * y[:, None]
        dy = pose[:, 1:2] + np.sin(t) * x - 2 * np.sin(t / 2) ** 2 * y[:, None]
        return dx, dy

    def _pull(self, s, above, below):
        ax, ay = self._moved(s.above_x, s.above_y, above)
        bx, by = self._moved(s.below_x, s.below_y, below)
        hx, hy = bx - ax, by - ay
        nx, ny = s.dx + hx, s.dy + hy
        long, drawn = np.hypot(nx, ny), np.hypot(s.dx, s.dy)
        e = s.e0 + (hx * (2 * s.dx + hx) + hy * (2 * s.dy + hy)) / (long + drawn)
        return e, np.maximum(s.k * e, 0.0), nx / long, ny / long

    def left(self, pose):
        """What is left on each band [bands, 3]: force right and up (N), moment (N mm)."""
        rig, out = self.rig, np.zeros((self.rig.bands, 3))
        out[:, 1] -= rig.weight_n
        out[:, 2] -= np.cos(pose[:, 2]) * rig.moment_x - np.sin(pose[:, 2]) * rig.moment_y
        for number, (s, above, below, _, pull, nx, ny) in enumerate(self.pulls(pose)):
            ends = [(s.below_x, s.below_y, below, -pull)]
            if number == 0:
                out[:-1] += self._on(s.above_x, s.above_y, above, pull, nx, ny)
            part = slice(1, None) if number == 0 else slice(0, 1)
            for x, y, pose_of, force in ends:
                out[part] += self._on(x, y, pose_of, force, nx, ny)
        if rig.cords is None:
            out[0] = 0.0  # a rail holds it
        return out

    @staticmethod
    def _on(x, y, pose, pull, nx, ny):
        t = pose[:, 2:3]
        px = np.cos(t) * x - np.sin(t) * y[:, None]
        py = np.sin(t) * x + np.cos(t) * y[:, None]
        fx, fy = pull * nx, pull * ny
        return np.stack([fx.sum(1), fy.sum(1), (px * fy - py * fx).sum(1)], axis=1)

    def stiffness(self):
        """Minus the change of what is left for each way of moving, by differences."""
        size, flat = self.pose.size, self.pose.ravel()
        out = np.zeros((size, size))
        for i in range(size):
            step = np.zeros(size)
            step[i] = 1e-7 if i % 3 == 2 else 1e-5
            ahead, back = (self.left((flat + way * step).reshape(-1, 3)) for way in (1, -1))
            out[:, i] = -(ahead - back).ravel() / (2 * step[i])
        return out[3:, 3:] if self.rig.cords is None else out


@cache
def forces(piece):
    return Forces(piece)


def at_rest(piece, index, value, put):
    found = forces(piece)
    left = np.abs(found.left(found.pose))
    left[:, 2] /= found.rig.reach_mm
    return not piece.hung.converged or left.max() < 2e-9 * found.rig.total_n


def residual(piece, index, value, put):
    found = forces(piece)
    left = np.abs(found.left(found.pose))
    left[:, 2] /= found.rig.reach_mm
    return left.max() < value * found.rig.total_n + 1e-9 * found.rig.total_n


def _by_unit(piece, which):
    """Elongation or tension of every fibre, [spans in weaving order, units, fibres]."""
    found = forces(piece)
    rows = found.pulls(found.pose)[0][3 + which]
    return rows.reshape(len(rows), len(piece.draft.units), -1)[piece.draft.on_wall().downwards]


def tensions(piece, index, value, put):
    return np.allclose(value, _by_unit(piece, 1).sum(axis=2), rtol=1e-9, atol=1e-9)


def slack(piece, index, value, put):
    loose = np.maximum(-_by_unit(piece, 0).max(axis=2), 0.0)
    there = np.array(piece.hung.tension_n)
    return np.allclose(value, loose, atol=1e-9) and not (there[np.array(value) > 1e-9] > 0).any()


def cords(piece, index, value, put):
    if piece.rig.cords is None:
        return value == []
    found = forces(piece)
    ny = found.pulls(found.pose)[1][-1]
    up = -(np.array(value) * ny[0]).sum()
    return min(value) >= 0 and np.isclose(up, piece.hung.weight_n, rtol=1e-8)


def loosest(piece, index, value, put):
    stiffness = forces(piece).stiffness()
    push = np.zeros(len(stiffness))
    push[-3] = 1.0
    ours = np.linalg.solve(stiffness, push)[-3]
    # entries are differences of forces, good to some 1e-11: what is hardly held magnifies that
    rtol = max(1e-3, 1e-11 * np.linalg.cond(stiffness))
    return np.isclose(value, ours, rtol=rtol if value < 1000 else 1.0)  # as good as not held


def softest(piece, index, value, put):
    found = forces(piece)
    h = found.stiffness()
    scale = np.tile([1.0, 1.0, 1.0 / found.rig.reach_mm], len(h) // 3)
    h = (h + h.T) / 2 * scale[:, None] * scale
    return np.isclose(value, np.linalg.eigvalsh(h)[0], rtol=1e-3, atol=1e-5)


def verdict(piece, index, value, put):
    """The word follows from the limits where nothing turns over and all pieces agree."""
    found, hang = piece.verdict, piece.draft.hang
    if found.may or found.cause or not piece.hung.converged:
        return value != "hangs as drawn"
    moved, small = put["moved"].value, max(hang.as_drawn_mm, piece.draft.pitch_mm / 10)
    words = {"hangs as drawn": moved <= small, "settles": small < moved <= hang.moves_mm}
    told = next((word for word in words if value.startswith(word)), "moves")
    return words.get(told, moved > max(hang.moves_mm, small))


def agrees(piece, index, value, put):
    runs = put["pieces"].value
    return value is None if not runs else 0 <= value <= 1 and abs(value * runs % 1) < 1e-9


def not_below_nothing(piece, index, value, put):
    return value is None or value >= 0


def period_out(piece, index, value, put):
    """No slower than all its mass at the foot, a pendulum of its whole length."""
    cord = 0.0 if piece.draft.hang.rail else piece.draft.hang.cord_length_mm
    longest = (piece.paths.height_total_mm + cord) / 1000
    return 0 < value <= 2 * np.pi * np.sqrt(longest / 9.80665) * 1.05


def damp(piece, index, value, put):
    """The foot sinks farther when fibres lengthen more, and not by more than they do."""
    little, more = value
    return -1e-6 <= little <= more <= 0.01 * piece.paths.height_total_mm

"""The hung shape rebuilt from facts.json alone: an energy written anew, minimised by scipy.

Source: the energy of docs/mechanics.md in plain distances; scipy.optimize (BSD-3), trust-exact with
a Hessian by differences. Tolerances: 1e-5 mm, 1e-4 N: what plain distances leave.
"""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import minimize

from crossfell.draft.files import read_file
from crossfell.draft.reader import read_draft
from crossfell.facts.build import facts_of, written
from crossfell.piece import Piece
from hanging_samples import sample

EXAMPLES = Path(__file__).parents[2] / "examples"


class Rebuilt:
    """Bodies on springs, from a table of numbers."""

    def __init__(self, rig):
        self.a, self.b = np.array(rig["above"]), np.array(rig["below"])
        self.low, self.high, self.up = np.array(rig["edges"]).T
        self.natural, self.k = np.array(rig["natural"]), np.array(rig["stiffness"])
        self.weight, self.moments = np.array(rig["weight"]), np.array(rig["moments"])
        self.cords = np.array(rig["cord_ends"]).reshape(-1, 3)
        self.cord = np.array(rig["cord_natural"]), np.array(rig["cord_stiffness"])
        drop = self.low - self.high - self.up
        self.rod = np.concatenate([[0.0], np.cumsum(drop)])
        self.held = 0 if len(self.cords) else 1
        self.scale = np.array([1.0, 1.0, 0.01])

    def pose(self, q):
        return np.concatenate([np.zeros(3 * self.held), q]).reshape(-1, 3) * self.scale

    def at(self, pose, band, x, y):
        """Points of a band, and how they move with its tilt."""
        ux, uy, t = pose[band].T
        c, s = np.cos(t)[:, None], np.sin(t)[:, None]
        rx, ry = c * x - s * y, s * x + c * y
        return ux[:, None] + rx, (uy + self.rod[band])[:, None] + ry, rx, ry

    def pulled(self, pose):
        spans = np.arange(len(self.a))
        one = self.at(pose, spans, self.a, self.low[:, None])
        two = self.at(pose, spans + 1, self.b, self.up[:, None])
        dx, dy = two[0] - one[0], two[1] - one[1]
        long = np.hypot(dx, dy)
        return one, two, dx / long, dy / long, np.maximum(long - self.natural, 0.0) * self.k

    def __call__(self, q):
        pose = self.pose(q)
        slope = np.zeros_like(pose)
        one, two, nx, ny, n = self.pulled(pose)
        energy = float((n**2 / np.where(self.k > 0, self.k, 1)).sum()) / 2
        for rows, end, sign in ((slice(None, -1), one, -1), (slice(1, None), two, 1)):
            slope[rows, 0] += sign * (n * nx).sum(1)
            slope[rows, 1] += sign * (n * ny).sum(1)
            slope[rows, 2] += sign * (n * (ny * end[2] - nx * end[3])).sum(1)
        if len(self.cords):
            x, aside, up = self.cords.T
            px, py, rx, ry = (v[0] for v in self.at(pose, np.array([0]), x[None], 0.0))
            dx, dy = px - (x + aside), py - up
            long = np.hypot(dx, dy)
            n = np.maximum(long - self.cord[0], 0.0) * self.cord[1]
            energy += float((n**2 / self.cord[1]).sum()) / 2
            slope[0] += [(n * dx / long).sum(), (n * dy / long).sum(),
                         (n * (dy * rx - dx * ry) / long).sum()]  # fmt: skip
        c, s = np.cos(pose[:, 2]), np.sin(pose[:, 2])
        mx, my = self.moments.T
        energy += float(self.weight @ pose[:, 1] + s @ mx + c @ my)
        slope[:, 1] += self.weight
        slope[:, 2] += c * mx - s * my
        return energy, (slope * self.scale).ravel()[3 * self.held :]

    def rest(self):
        size = 3 * (len(self.weight) - self.held)

        def curvature(q):
            rows = [(self(q + d)[1] - self(q - d)[1]) / 2e-6 for d in np.eye(size) * 1e-6]
            return (np.array(rows) + np.array(rows).T) / 2

        found = minimize(self, np.zeros(size), jac=True, hess=curvature, method="trust-exact",
                         options={"gtol": 1e-9, "maxiter": 600})  # fmt: skip
        return self.pose(found.x), self.pulled(self.pose(found.x))[4]


def check(piece):
    hung = json.loads(written(facts_of(piece)))["hung"]
    pose, pull = Rebuilt(hung["rig"]).rest()
    down = 1 if piece.draft.about.woven_from == "top" else -1
    told = np.array([[rod["x"], rod["y"], rod["tilt"]] for rod in hung["rods"]])[::down]
    assert pose[:, :2] == pytest.approx(told[:, :2], abs=1e-5)
    by_unit = pull.reshape(len(pull), len(piece.draft.units), -1).sum(2)[::down]
    assert by_unit == pytest.approx(np.array(hung["tensions"]), abs=1e-4)


def test_the_first_example_is_rebuilt_from_its_facts():
    check(Piece(read_file(EXAMPLES / "01-first-sampler/first-sampler.toml")))


def test_random_pieces_with_unlike_bands_are_rebuilt_from_their_facts():
    made = 0
    for number in range(40):
        piece = Piece(read_draft(sample(number, tension=0.2)))
        if made < 20 and piece.computable and piece.hung.converged and piece.verdict.tilt_rad < 0.3:
            check(piece)
            made += 1
    assert made == 20

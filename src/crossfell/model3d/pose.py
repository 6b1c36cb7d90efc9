"""Where do bands and rods lie once the piece hangs, and not only as it is drawn?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from crossfell.model3d.mesh import Mesh
from crossfell.order.model import Ints
from crossfell.paths.model import Floats
from crossfell.piece import Piece


@dataclass(frozen=True, kw_only=True)
class Poses:
    """How far every band has moved; frame of the piece on the wall."""

    moved_mm: Floats  # [bands, 2] right and up
    tilt_rad: Floats  # [bands] anticlockwise
    about_mm: Floats  # [bands, 2] middle of each band, about which it tilts
    slack_mm: Floats  # [spans, units] what a unit is too long for its chord

    def points(self, band: int | Ints, points: Floats) -> Floats:
        """Points [points, 2 or 3] of a band, or of a band each [points], where they come to lie."""
        at = np.broadcast_to(np.asarray(band, dtype=np.int64), len(points))
        arm = points[:, :2] - self.about_mm[at]
        cos, sin = np.cos(self.tilt_rad[at]), np.sin(self.tilt_rad[at])
        turned = np.stack([cos * arm[:, 0] - sin * arm[:, 1], sin * arm[:, 0] + cos * arm[:, 1]], 1)
        out = points.copy()
        out[:, :2] = self.about_mm[at] + turned + self.moved_mm[at]
        return out

    def mesh(self, band: int, mesh: Mesh) -> Mesh:
        """A part of a band where it comes to lie."""
        turn = Poses(
            moved_mm=np.zeros_like(self.moved_mm),
            tilt_rad=self.tilt_rad,
            about_mm=np.zeros_like(self.about_mm),
            slack_mm=self.slack_mm,
        )
        tangents = mesh.tangents.copy()
        tangents[:, :3] = turn.points(band, mesh.tangents[:, :3])
        return Mesh(
            points=self.points(band, mesh.points),
            normals=turn.points(band, mesh.normals),
            tangents=tangents,
            uv=mesh.uv,
            faces=mesh.faces,
        )


def poses_of(piece: Piece, *, hung: bool) -> Poses:
    """Poses as drawn, or as the piece comes to rest.

    Where no rest was found, it stays as drawn; the notes of the piece say so.
    """
    paths = piece.paths
    middle = (paths.band_bottom_mm + paths.band_top_mm) / 2
    middle = piece.draft.on_wall().y(middle, paths.height_total_mm)
    about = np.column_stack([np.full(len(middle), paths.width_total_mm / 2), middle])
    if hung and piece.hung.converged:
        rods = piece.hung.rods
        slack = piece.hung.slack_mm
        return Poses(moved_mm=rods[:, :2], tilt_rad=rods[:, 2], about_mm=about, slack_mm=slack)
    none = np.zeros(len(middle))
    taut = np.zeros((len(piece.draft.spans), len(piece.draft.units)))
    moved = np.column_stack([none, none])
    return Poses(moved_mm=moved, tilt_rad=none, about_mm=about, slack_mm=taut)

"""From where is the piece looked at, and where does each point lie in the picture?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crossfell.model3d.mesh import unit
from crossfell.paths.model import Floats

Light = NDArray[np.float32]
YAW, PITCH = 0.20, 0.03  # rad; the viewer stands a little to the right, and looks slightly down
FAR = 2.6  # of the greatest dimension
MARGIN = 0.14  # of the width, or of 0.4 of the greatest dimension


@dataclass(frozen=True, kw_only=True)
class Camera:
    """A pinhole; pixels are x to the right, y down."""

    eye: Floats
    axes: Floats  # [3, 3] right, up, towards the viewer
    focal: float  # pixels
    middle: tuple[float, float]  # pixel of the line of sight
    width: int
    height: int

    def seen(self, points: Floats) -> tuple[Floats, Floats]:
        """Pixels [..., 2] and distances [...] of points [..., 3]."""
        local = (points - self.eye) @ self.axes.T
        away = -local[..., 2]
        flat = local[..., :2] / away[..., None] * self.focal
        pixels = np.stack([self.middle[0] + flat[..., 0], self.middle[1] - flat[..., 1]], axis=-1)
        return pixels, away

    def px_per_mm(self, point: Floats) -> float:
        """Pixels in a millimetre across the line of sight, at a point."""
        return self.focal / float(self.seen(point)[1])

    def wall(self) -> tuple[Light, Light]:
        """Where the lines of sight through the pixels meet the wall: x and y [height, width]."""
        x = (np.arange(self.width) + 0.5 - self.middle[0]) / self.focal
        y = (self.middle[1] - np.arange(self.height) - 0.5) / self.focal
        right, up, towards = self.axes
        rays = [(x * right[i] - towards[i])[None, :] + (y * up[i])[:, None] for i in range(3)]
        reach = -self.eye[2] / rays[2]
        at_x, at_y = (self.eye[i] + rays[i] * reach for i in (0, 1))
        return at_x.astype(np.float32), at_y.astype(np.float32)

    def finer(self, times: int) -> Camera:
        """The same look with more pixels."""
        middle = (self.middle[0] * times, self.middle[1] * times)
        size = {"width": self.width * times, "height": self.height * times}
        return Camera(eye=self.eye, axes=self.axes, focal=self.focal * times, middle=middle, **size)


def camera_for(points: Floats, width: int, tallest: int, *, fill: bool = False) -> Camera:
    """A camera that sees points [points, 3] with some wall round them.

    With `fill` there is as much wall as makes the picture as wide and as tall as asked for.
    """
    low, high = points.min(axis=0), points.max(axis=0)
    largest = float((high - low).max())
    towards = np.array([np.sin(YAW) * np.cos(PITCH), np.sin(PITCH), np.cos(YAW) * np.cos(PITCH)])
    right = unit(np.cross([0.0, 1.0, 0.0], towards))
    axes = np.stack([right, np.cross(towards, right), towards])
    eye = (low + high) / 2 + FAR * largest * towards
    plain = Camera(eye=eye, axes=axes, focal=1.0, middle=(0.0, 0.0), width=0, height=0)
    pad = MARGIN * max(float(high[0] - low[0]), 0.4 * largest)
    left, most = low[0] - pad, high[0] + 1.2 * pad  # the shadow falls to the right
    flat, _ = plain.seen(
        np.array([[x, y, 0.0] for x in (left, most) for y in (low[1] - pad, high[1] + 0.4 * pad)])
    )
    near, far = flat.min(axis=0), flat.max(axis=0)
    if fill:
        size = far - near
        more = np.maximum(size[::-1] * [width / tallest, tallest / width] - size, 0.0)
        near, far = near - more / 2, far + more / 2
    scale = float(min(width / (far[0] - near[0]), tallest / (far[1] - near[1])))
    wide, tall = (max(1, int(v)) for v in (far - near) * scale)
    middle = (float(-near[0] * scale), float(-near[1] * scale))
    return Camera(eye=eye, axes=axes, focal=scale, middle=middle, width=wide, height=tall)

"""Where does the lamp stand, and what shadow does the piece throw on its wall?

The piece hangs in a plane before the wall, so its shadow is its outline, enlarged from the lamp,
and softened by the image of the lamp. Source: derived, similar triangles: for a lamp Dl from the
wall and a thread d from it, magnification Dl/(Dl − d), penumbra S·d/(Dl − d) for a lamp S wide.
Checked: tests/model3d/test_still.py.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from crossfell.model3d.camera import Light
from crossfell.model3d.raster import covered
from crossfell.paths.model import Floats
from crossfell.piece import Piece

DEFAULT_LAMP = (2200.0, 1.25, -900.0, 60.0)  # mm from the wall, times the height, mm aside, mm wide


@dataclass(frozen=True, slots=True)
class SphereLamp:
    """Its centre in the frame of the model (mm), and its diameter."""

    x: float
    y: float
    z: float
    wide: float


def lamp_of(piece: Piece) -> SphereLamp:
    """The lamp of the draft, or one above the viewer's left shoulder."""
    lamp = piece.draft.hang.lamp
    if len(lamp) == 4:
        return SphereLamp(lamp[2], lamp[1], lamp[0], lamp[3])
    away, high, aside, wide = DEFAULT_LAMP
    reach = piece.draft.hang.above_floor_mm + piece.paths.height_total_mm
    return SphereLamp(aside, max(high * reach, reach + 500), max(away, 0.9 * reach), wide)


def magnification(lamp: SphereLamp, z: Floats) -> Floats:
    """How much larger than the thing its shadow is; things at z mm from the wall."""
    return lamp.z / (lamp.z - z)


def on_wall(lamp: SphereLamp, points: Floats) -> Floats:
    """Shadows [..., 2] on the wall of points [..., 3]: t = Dl/(Dl − d)."""
    t = magnification(lamp, points[..., 2])
    return np.stack(
        [lamp.x + (points[..., 0] - lamp.x) * t, lamp.y + (points[..., 1] - lamp.y) * t], axis=-1
    )


@dataclass(frozen=True, slots=True)
class Shadow:
    """How much of the lamp's light is kept from each spot of the wall."""

    dark: Floats  # [rows, columns] 0 to 1; rows upwards
    left: float
    low: float
    step: float  # mm

    def at(self, x: Light, y: Light) -> Light:
        """Darkness at spots of the wall (mm)."""
        column, row = (x - self.left) / self.step - 0.5, (y - self.low) / self.step - 0.5
        high, wide = self.dark.shape
        inside = (column > 0) & (row > 0) & (column < wide - 1) & (row < high - 1)
        c, r = column[inside], row[inside]
        i, j = r.astype(np.int32), c.astype(np.int32)
        fr, fc = r - i, c - j
        dark, at = self.dark.astype(np.float32).ravel(), i * wide + j
        top = dark[at + wide] * (1 - fc) + dark[at + wide + 1] * fc
        low = dark[at] * (1 - fc) + dark[at + 1] * fc
        found = np.zeros(x.shape, dtype=np.float32)
        found[inside] = low * (1 - fr) + top * fr
        return found


def shadow_of(triangles: Floats, lamp: SphereLamp, hang_mm: float, step: float) -> Shadow:
    """The shadow of triangles [triangles, 3, 3] that hang about `hang_mm` before the wall."""
    flat = on_wall(lamp, triangles)
    one, two = flat[:, 1] - flat[:, 0], flat[:, 2] - flat[:, 0]
    flat = flat[one[:, 0] * two[:, 1] > one[:, 1] * two[:, 0]]  # those that face the lamp
    soft = lamp.wide * hang_mm / max(lamp.z - hang_mm, 1.0)
    margin = soft + 4 * step
    low, high = flat.reshape(-1, 2).min(axis=0) - margin, flat.reshape(-1, 2).max(axis=0) + margin
    wide, tall = (int(v) for v in np.ceil((high - low) / step))
    seen = covered((flat - low) / step, wide, tall)
    dark = np.zeros((tall, wide))
    dark[seen.row, seen.column] = 1.0
    return Shadow(_softened(dark, soft / step / 2), float(low[0]), float(low[1]), step)


def _softened(dark: Floats, radius: float) -> Floats:
    """Averaged over a disc: the lamp's image through each point of the piece."""
    reach = math.ceil(radius)
    if reach < 1:
        return dark
    high, wide = dark.shape
    runs = np.cumsum(np.pad(dark, ((reach, reach), (reach + 1, reach))), axis=1)
    out, whole = np.zeros_like(dark), 0
    for dy in range(-reach, reach + 1):  # each row of the disc is one run
        half = round(math.sqrt(max(radius**2 - dy**2, 0.0)))
        rows = runs[reach + dy : reach + dy + high]
        out += rows[:, reach + half + 1 :][:, :wide] - rows[:, reach - half :][:, :wide]
        whole += 2 * half + 1
    mean: Floats = out / whole
    return mean
